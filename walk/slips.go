package walk

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"runproof/fit"
)

// pattern is a systematic way in which ports may be out of step with runs.
type pattern struct {
	cols     []int // port of each run
	logPrior float64
}

// patterns are the plan itself, and the plan with every run one or two ports
// further, either in the order of the ports or in the order of the walk.
func (p *prover) patterns() []pattern {
	plan := make([]int, len(p.runs))
	for i, r := range p.runs {
		plan[i] = r.col
	}
	pats := []pattern{{plan, 0}}
	for _, d := range []int{-2, -1, 1, 2} {
		prior := math.Log(priorPattern)
		if p.oneNode() && (d == 1 || d == -1) && p.mayShift(plan, d) {
			prior = math.Log(priorPatternNode)
		}
		pats = append(pats,
			pattern{shifted(plan, inOrder(len(plan)), d), prior},
			pattern{shifted(plan, p.walkOrder(), d), prior})
	}
	return pats
}

// slips are the ways in which one slip of a person puts many tubes in other
// places: all tubes of a drill with a single node are one port on; or two
// nodes have changed places, of those that the path leaves most to explain.
func (p *prover) slips(h *path) []pattern {
	plan := p.planCols(h.order)
	if p.oneNode() {
		var out []pattern
		for _, d := range []int{-1, 1} {
			if p.mayShift(plan, d) {
				out = append(out, pattern{shifted(plan, inOrder(len(plan)), d), math.Log(priorPatternNode)})
			}
		}
		return out
	}
	var out []pattern
	odd := h.oddNodes()
	for i, a := range odd {
		for _, b := range odd[:i] {
			out = append(out, pattern{p.exchanged(plan, a, b), math.Log(priorNodeSwap)})
		}
	}
	return out
}

// oneNode says that all planned ports are on one node. Within a node tubes are
// pushed on in order, and a slip at the first carries on to the last.
func (p *prover) oneNode() bool {
	return !slices.ContainsFunc(p.runs, func(r planned) bool { return r.port.Node != p.runs[0].port.Node })
}

// mayShift says that all tubes may sit d places on: nothing is then connected
// to the port that the shift leaves, so it must be dead.
func (p *prover) mayShift(plan []int, d int) bool {
	left := plan[0]
	if d < 0 {
		left = plan[len(plan)-1]
	}
	if left < 0 || p.ex[left].dead {
		return true
	}
	return p.full.tap && !slices.ContainsFunc(p.tracks[left], func(v float32) bool { return v >= clearReaction })
}

// shifted gives each run of the order the port of the run d places on.
func shifted(plan, order []int, d int) []int {
	out := slices.Clone(plan)
	for i, run := range order {
		out[run] = -1
		if j := i + d; j >= 0 && j < len(order) {
			out[run] = plan[order[j]]
		}
	}
	return out
}

const (
	priorNodeSwap = 1e-3 // two given nodes have changed places
	mostOddNodes  = 4
)

// oddNodes are the nodes most of whose clear reactions the path cannot use in
// their own place, worst first.
func (h *path) oddNodes() []string {
	total := h.total()
	own, all := map[string]float64{}, map[string]float64{}
	for _, c := range h.cands {
		if c.nats >= clearReaction {
			all[h.p.g.ports[c.col].Node]++
		}
	}
	for _, s := range h.states {
		if c := h.cands[s.cand]; c.nats >= clearReaction && h.cols[s.k] == c.col {
			own[h.p.g.ports[c.col].Node] += math.Exp(s.alpha + s.beta - total)
		}
	}
	var odd []string
	for _, n := range slices.Sorted(maps.Keys(all)) {
		if own[n] < 0.5*all[n] {
			odd = append(odd, n)
		}
	}
	slices.SortStableFunc(odd, func(a, b string) int { return cmp.Compare(own[a]-all[a], own[b]-all[b]) })
	if len(odd) == 1 { // its partner may look right
		for _, n := range slices.Sorted(maps.Keys(all)) {
			if n != odd[0] && len(odd) < mostOddNodes {
				odd = append(odd, n)
			}
		}
	}
	return odd[:min(len(odd), mostOddNodes)]
}

// exchanged gives the runs of two nodes each other's ports, number by number.
func (p *prover) exchanged(plan []int, a, b string) []int {
	at := map[fit.PortRef]int{}
	for i, r := range p.g.ports {
		at[r] = i
	}
	other := map[string]string{a: b, b: a}
	out := slices.Clone(plan)
	for k, c := range plan {
		if c < 0 {
			continue
		}
		r := p.g.ports[c]
		if n, ok := other[r.Node]; ok {
			out[k] = -1
			if to, ok := at[fit.PortRef{Node: n, Port: r.Port}]; ok {
				out[k] = to
			}
		}
	}
	return out
}

// A path pays for every moved run alone. Two runs that have changed places are
// one slip, though, and paid for once: mostSwaps of them are tried, among the
// answers that have at least the posterior worthASwap.
const (
	mostSwaps  = 6
	worthASwap = 0.02
)

// swapped are the paths with two more runs in each other's place.
func (p *prover) swapped(h *path, ll float64, cands []candidate) ways {
	var w ways
	for _, s := range h.swaps() {
		cols := slices.Clone(h.cols)
		cols[s[0]], cols[s[1]] = cols[s[1]], cols[s[0]]
		g, gl := p.along(h.order, cols, cands)
		w.add(g, gl+ll-h.total()+math.Log(priorMoved*p.place(h.order[s[0]], h.cols[s[1]])))
	}
	return w
}

// swaps are pairs of runs, as places in the order, that may have changed
// places: some clear reaction answers to the one at the other's port.
func (h *path) swaps() [][2]int {
	var out [][2]int
	total := h.total()
	for _, s := range h.states {
		c := h.cands[s.cand]
		other, ok := h.place[c.col]
		if !ok || other == s.k || c.nats < clearReaction || s.alpha+s.beta-total < math.Log(worthASwap) {
			continue
		}
		pair := [2]int{min(s.k, other), max(s.k, other)}
		if h.cols[pair[0]] >= 0 && h.cols[pair[1]] >= 0 && !slices.Contains(out, pair) && len(out) < 4*mostSwaps {
			out = append(out, pair)
		}
	}
	return out
}
