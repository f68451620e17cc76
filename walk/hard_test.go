package walk

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"runproof/flowlog"
)

// plainYard is a walk in which nothing is wrong.
func plainYard() *yard {
	return &yard{
		heads: []int{8, 8, 7}, products: 1, perNode: 8, dtS: 0.2, rateHz: 60, disp: 0.04, gainSD: 0.2, noise: 0.1,
		pulseA: 0.3, pulseHz: 2.3, driftSD: 0.03, leak: 0.02, fallS: 0.4, pinchS: [2]float64{3, 5}, gapS: [2]float64{3, 5},
		marked: true, markErrS: 1.4, offsetS: 33, lost: 0.003, dropped: 0.003,
		dead: map[int]string{}, unmarked: map[int]bool{}, unwalked: map[int]bool{},
	}
}

func swapped(n int, pairs ...[2]int) []int {
	p := inOrder(n)
	for _, q := range pairs {
		p[q[0]], p[q[1]] = p[q[1]], p[q[0]]
	}
	return p
}

// TestHardYards holds walks that would fool a careless program. In none may a
// run be called as planned that is not; right is the least part of right
// verdicts.
func TestHardYards(t *testing.T) {
	shift := func(n int) []int {
		p := make([]int, n)
		for i := range p {
			p[i] = i + 1
		}
		p[n-1] = -1
		return p
	}
	for _, c := range []struct {
		name  string
		right float64
		make  func(y *yard)
	}{
		{"nothing wrong", 1, func(*yard) {}},
		{"evenly spaced, marks exact: a shift by one step would look as good", 1, func(y *yard) {
			y.pinchS, y.gapS, y.markErrS = [2]float64{3, 3}, [2]float64{4, 4}, 0
		}},
		{"evenly spaced, one node, every tube one port on", 0, func(y *yard) {
			y.perNode, y.pinchS, y.gapS, y.markErrS, y.place = 23, [2]float64{3, 3}, [2]float64{4, 4}, 0, shift(23)
		}},
		{"one node, every tube one port on, no marks", 0, func(y *yard) { y.perNode, y.marked, y.place = 23, false, shift(23) }},
		{"two nodes changed places, marks", 1, func(y *yard) { y.place = slices.Concat(inOrder(23)[8:16], inOrder(8), inOrder(23)[16:]) }},
		{"two nodes changed places, no marks", 0.9, func(y *yard) {
			y.marked, y.place = false, slices.Concat(inOrder(23)[8:16], inOrder(8), inOrder(23)[16:])
		}},
		{"neighbours swapped at either end, no marks", 1, func(y *yard) { y.marked, y.place = false, swapped(23, [2]int{0, 1}, [2]int{21, 22}) }},
		{"first run dead, no marks", 1, func(y *yard) { y.marked, y.dead[0] = false, "zero" }},
		{"a run dead between swapped ones, no marks", 1, func(y *yard) { y.marked, y.place, y.dead[10] = false, swapped(23, [2]int{9, 11}), "null" }},
		{"dead run, first mark missing, evenly spaced", 1, func(y *yard) {
			y.pinchS, y.gapS, y.unmarked[0], y.dead[4] = [2]float64{3, 3}, [2]float64{4, 4}, true, "zero"
		}},
		{"no marks, in any order", 0, func(y *yard) { y.marked, y.shuffled = false, true }},
		{"no marks, backwards", 0, func(y *yard) { y.marked, y.order = false, func(r []int) []int { slices.Reverse(r); return r } }},
		{"no marks, all twice over", 0, func(y *yard) { y.marked, y.order = false, func(r []int) []int { return slices.Concat(r, r) } }},
		{"no marks, three runs left out", 0.8, func(y *yard) {
			y.marked = false
			for _, k := range []int{4, 5, 13} {
				y.unwalked[k] = true
			}
		}},
		{"no marks, the walk ends halfway", 0.5, func(y *yard) { y.marked, y.order = false, func(r []int) []int { return r[:12] } }},
		{"marks at the middle of pinches", 1, func(y *yard) { y.middle, y.pinchS = true, [2]float64{2, 6} }},
		{"the fan stops for six seconds, twice", 0.95, func(y *yard) { y.stops = [][2]float64{{46, 52}, {88, 94}} }},
		{"a primary line is trodden on", 0.95, func(y *yard) { y.headOff = map[int][2]float64{1: {60, 64}} }},
		{"the rate is changed", 1, func(y *yard) { y.steps = map[float64]float64{50: 0.6, 100: 1.9} }},
		{"a node is silent for half a minute", 0.7, func(y *yard) { y.mute = map[string][2]float64{"4002": {70, 100}} }},
		{"the hand shuts the hose by half", 0, func(y *yard) { y.leak = 0.5 }},
		{"small heads: siblings rise by half and more", 1, func(y *yard) { y.heads = []int{2, 3, 2, 4, 3, 2} }},
		{"single outlets", 0.9, func(y *yard) { y.heads = []int{1, 1, 1, 1, 1, 1} }},
		{"one run", 1, func(y *yard) { y.heads = []int{1} }},
		{"one run, no marks", 1, func(y *yard) { y.heads, y.marked = []int{1}, false }},
		{"two runs swapped", 0, func(y *yard) { y.heads, y.place = []int{2}, []int{1, 0} }},
		{"two runs swapped, no marks", 0, func(y *yard) { y.heads, y.place, y.marked = []int{2}, []int{1, 0}, false }},
		{"nothing is pinched", 0, func(y *yard) { y.leak = 1 }},
		{"every sensor dead", 0, func(y *yard) {
			for c := range 23 {
				y.dead[c] = "zero"
			}
		}},
		{"every sensor hums", 0, func(y *yard) {
			for c := range 23 {
				y.dead[c] = "hum"
			}
		}},
		{"offset at the limit", 1, func(y *yard) { y.offsetS = -120 }},
		{"a run heard at its own port and another", 1, func(y *yard) { y.joined = [2]int{3, 12} }},
		{"joined, no marks", 0.95, func(y *yard) { y.joined, y.marked = [2]int{3, 12}, false }},
		{"one sample in fifty reads zero on all ports, 1 Hz", 0.9, func(y *yard) {
			y.dtS = 1
			y.extra = func(l *flowlog.Log) {
				for i := 7; i < l.Len(); i += 50 {
					for c := range l.Values {
						l.Values[c][i] = 0
					}
				}
			}
		}},
		{"single ports read zero now and then, 1 Hz", 0.9, func(y *yard) {
			y.dtS = 1
			y.extra = func(l *flowlog.Log) {
				for c := range l.Values {
					for i := 3 + 5*c%37; i < l.Len(); i += 37 {
						l.Values[c][i] = 0
					}
				}
			}
		}},
		{"hoses run dry slowly", 0.95, func(y *yard) { y.fallS, y.pinchS = 2.5, [2]float64{4, 7} }},
		{"short pinches", 0.95, func(y *yard) { y.fallS, y.pinchS = 0.3, [2]float64{1.5, 2.5} }},
		{"long pinches, little pause", 1, func(y *yard) { y.pinchS, y.gapS = [2]float64{10, 16}, [2]float64{2, 3} }},
		{"air swirls hard", 0.95, func(y *yard) { y.disp = 0.2 }},
		{"shares wander by a tenth", 0.95, func(y *yard) { y.driftSD = 0.1 }},
		{"the recorder's interval wavers by half", 1, func(y *yard) { y.jitterDT = 0.5 }},
		{"eight particles a second, a third of it noise", 0.85, func(y *yard) { y.rateHz, y.noise, y.pinchS = 8, 0.33, [2]float64{5, 7} }},
		{"three hundred a second, a third of it noise", 1, func(y *yard) { y.rateHz, y.noise = 300, 0.33 }},
		{"1 Hz, marks 1.5 s off", 0.95, func(y *yard) { y.dtS, y.markErrS = 1, 1.5 }},
		{"every other mark pressed twice", 1, func(y *yard) { y.again = 2 }},
		{"closed runs are not walked", 1, func(y *yard) { y.closed = []int{2, 9}; y.marked = false }},
		{"tap, dead neighbours, strong frame", 0.85, func(y *yard) {
			y.tap, y.tapHz, y.crosstak, y.rateHz, y.noise, y.pinchS = true, 80, 0.12, 0, 0, [2]float64{1.5, 3}
			y.dead[5], y.dead[6] = "zero", "zero"
		}},
		{"tap while product flows", 1, func(y *yard) {
			y.tap, y.flowTap, y.tapHz, y.rateHz, y.noise, y.pinchS = true, true, 120, 12, 0, [2]float64{1.5, 3}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var s score
			var bad []string
			for seed := range many("SEEDS", 1) {
				rng := rand.New(rand.NewPCG(uint64(seed), 5))
				y := plainYard()
				c.make(y)
				log, marks, want, f := y.record(rng)
				proof, err := Prove(f, log, Options{Marks: marks})
				if err != nil {
					t.Fatal(err)
				}
				bad = append(bad, s.add(proof, want)...)
				if marks != nil {
					if proof.ClockOffsetS != nil {
						bad = append(bad, fmt.Sprintf("offset off by %.2f", *proof.ClockOffsetS-y.offsetS))
					}
				}
			}
			if s.wrongPlanned > 0 || float64(s.right) < c.right*float64(s.runs) {
				t.Errorf("%+v", s)
			}
			t.Logf("%+v", s)
			for _, b := range bad {
				t.Log(b)
			}
		})
	}
}
