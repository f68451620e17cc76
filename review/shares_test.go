package review

import (
	"math"
	"math/rand/v2"
	"testing"

	"runproof/drill"
)

// oneHead is a head with n runs, all on one node.
func oneHead(n int) *inputs {
	in := &inputs{
		heads: []headRuns{{id: "A"}}, products: []productHeads{{id: "seed", heads: []int{0}}}, nodes: []nodeRuns{{serial: "N1"}},
		lat: -1, lon: -1, speed: -1, course: -1, work: 0,
	}
	for i := range n {
		in.runs = append(in.runs, run{Run: drill.Run{ID: drill.NewRunID("A", i+1), Head: "A", Product: "seed", Row: i + 1}})
		in.heads[0].runs = append(in.heads[0].runs, i)
		in.nodes[0].runs = append(in.nodes[0].runs, i)
		in.runCols = append(in.runCols, i+1)
	}
	return in
}

// frames are half-second frames of work with a mean count of 20 times the share
// that at gives for a run and frame.
func frames(in *inputs, n int, at func(i, k int) float64) []*frame {
	rng := rand.New(rand.NewPCG(3, 1))
	out := make([]*frame, n)
	for k := range out {
		f := &frame{fromNS: int64(k) * 5e8, toNS: int64(k+1) * 5e8, durS: 0.5, samples: 1, work: true, speedMPS: math.NaN()}
		f.x, f.lost, f.stuck = make([]float64, len(in.runs)), make([]int, len(in.runs)), make([]int32, len(in.runs))
		for i := range in.runs {
			f.x[i] = poisson(rng, 20*at(i, k))
		}
		out[k] = f
	}
	return out
}

// TestSharesWithFaultsFromTheStart: what is learned is the sound share, whatever
// is wrong in the first ten minutes. 1200 frames of 20 particles a run are
// 24000 particles: a share's relative standard error is below 1 %; the bound is
// 4 % for whole minutes and 8 % where only a quarter of the time was sound.
func TestSharesWithFaultsFromTheStart(t *testing.T) {
	gain := []float64{1.3, 0.8, 1, 1.1, 0.9, 1}
	for _, c := range []struct {
		name  string
		level func(i, k int) float64
		bound float64
	}{
		{"sound", func(i, k int) float64 { return 1 }, 0.04},
		{"one blocked for the first half", func(i, k int) float64 {
			if i == 2 && k < 600 {
				return 0.03
			}
			return 1
		}, 0.04},
		{"one restricted but for the last quarter", func(i, k int) float64 {
			if i == 2 && k < 900 {
				return 0.5
			}
			return 1
		}, 0.08},
		{"two blocked one after the other", func(i, k int) float64 {
			if i == 1 && k < 400 || i == 4 && k >= 400 && k < 800 {
				return 0.05
			}
			return 1
		}, 0.04},
	} {
		in := oneHead(len(gain))
		k := learn(in, frames(in, 1200, func(i, k int) float64 { return gain[i] * c.level(i, k) }), nil)
		for i, g := range gain {
			if d := k.share[i]*6.1/g - 1; math.Abs(d) > c.bound { // the gains add up to 6.1
				t.Errorf("%s: share of run %d is %+.1f %% off", c.name, i+1, 100*d)
			}
		}
	}
}

// TestShareOfARunThatNeverFlowed comes from the siblings, or better from the
// rules document, and says so.
func TestShareOfARunThatNeverFlowed(t *testing.T) {
	in := oneHead(6)
	fs := frames(in, 600, func(i, _ int) float64 {
		if i == 3 {
			return 0.03
		}
		return 1
	})
	k := learn(in, fs, nil)
	if math.Abs(k.share[3]-1./6) > 0.02 || k.assumed[3] == "" {
		t.Errorf("from the siblings: %.3f, %q", k.share[3], k.assumed[3])
	}
	k = learn(in, fs, map[string]float64{"A-4": 0.22})
	if math.Abs(k.share[3]-0.22/1.22) > 0.02 || k.assumed[3] == "" {
		t.Errorf("from the rules: %.3f, %q", k.share[3], k.assumed[3])
	}
}

// TestSpreadOfPoisson: given the head's total, a run of share p of a Poisson
// head has variance/mean 1-p (multinomial): 5/6 of six. Of 1200 frames its
// standard error is 5/6 sqrt(2/1200) = 0.034, four of these are 0.14; the
// clinging factor (75 sums of eight, sd 0.16 a run, 0.08 of the median over six)
// never lowers it and raises it by up to 0.27.
func TestSpreadOfPoisson(t *testing.T) {
	in := oneHead(6)
	k := learn(in, frames(in, 1200, func(int, int) float64 { return 1 }), nil)
	for i, f := range k.overdisp {
		if f < 0.69 || f > 0.97*1.27 {
			t.Errorf("run %d: variance/mean %.2f", i+1, f)
		}
	}
}

func TestTwoClusters(t *testing.T) {
	for _, c := range []struct {
		name string
		v    []float64
		cut  int
	}{
		{"one level", []float64{0.97, 0.98, 0.99, 1, 1.01, 1.02, 1.03}, 0},
		{"blocked for three of nine", []float64{0.03, 0.04, 0.05, 0.98, 0.99, 1, 1, 1.01, 1.02}, 3},
		{"a single odd one is no cluster", []float64{0.1, 0.98, 0.99, 1, 1, 1, 1.01, 1.01, 1.02}, 0},
		{"too few", []float64{0.1, 0.1, 1, 1}, 0},
	} {
		if got := twoClusters(c.v); got != c.cut {
			t.Errorf("%s: cut at %d, want %d", c.name, got, c.cut)
		}
	}
}

// TestLags: product called for at 20 s flows from 22.5 s, and stops 3 s after
// the lift: the lags are these to one frame, with the margin.
func TestLags(t *testing.T) {
	in := oneHead(6)
	fs := frames(in, 1200, func(_, k int) float64 {
		if s := float64(k%200)/2 - 20; s < 2.5 || s >= 63 { // in work from 20 s to 80 s of each 100
			return 0
		}
		return 1
	})
	for k, f := range fs {
		s := float64(k%200) / 2
		f.work = s >= 20 && s < 80
	}
	k := learn(in, fs, nil)
	for i := range in.runs {
		if on, off := k.lagOnS[i]-lagMarginS, k.lagOffS[i]-lagMarginS; math.Abs(on-2.5) > 0.5 || math.Abs(off-3) > 0.5 {
			t.Errorf("run %d: start %.1f s, stop %.1f s", i+1, on, off)
		}
	}
}

// TestSoundLevel: of two levels of a run over the first minutes the upper is the
// sound one, though its sensor counts 1.7 times what its siblings do and its low
// level looks more like them (gains differ by tens of percent, design); where the
// upper is two and a half times theirs for a third of the time, that was noise.
func TestSoundLevel(t *testing.T) {
	levels := func(n int, level float64) (out []float64) {
		for k := range n {
			out = append(out, level*(1+0.02*float64(k%5-2)))
		}
		return out
	}
	for _, c := range []struct {
		name string
		v    []float64
		odd  float64
		want float64
	}{
		{"a loss of a rich run", append(levels(40, 0.63), levels(60, 1)...), 1.7, 1},
		{"a long loss", append(levels(70, 0.4), levels(30, 1)...), 1, 1},
		{"a long loss, seen from its low level", append(levels(70, 1), levels(30, 2.2)...), 0.45, 2.2},
		{"noise for a third of the time", append(levels(70, 1), levels(30, 2.5)...), 0.95, 1},
		{"one level", levels(60, 1), 1.3, 1},
	} {
		if got := soundLevel(c.v, c.odd); math.Abs(got-c.want) > 0.03*c.want {
			t.Errorf("%s: %.2f, want %.2f", c.name, got, c.want)
		}
	}
}
