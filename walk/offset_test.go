package walk

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"runproof/flowlog"
)

// TestOffsetReference makes a recording with reactions at the times of the
// reference's example (constructed there; its notes have errors up to 1.4 s,
// run 7 has none, and the true offset is -12.4 s). The median and mean of its
// matched differences are -12.4 and -12.48; reactions are placed to within a
// bin of 0.2 s, so 0.2 s is the tolerance.
func TestOffsetReference(t *testing.T) {
	var in struct {
		React []float64 `json:"react_s"`
		Marks [][2]float64
	}
	var want struct {
		Median float64 `json:"median_of_matched_differences"`
		Mean   float64 `json:"mean_of_matched_differences"`
	}
	for _, c := range readReference(t).Checks {
		if c.ID == "offset.kernel" {
			if err := json.Unmarshal(c.Inputs, &in); err != nil {
				t.Fatal(err)
			}
			json.Unmarshal(c.Expected, &want)
		}
	}
	y := plainYard()
	y.heads, y.perNode, y.marked, y.unmarked[6] = []int{12}, 12, false, true
	y.at = in.React
	rng := rand.New(rand.NewPCG(1, 1))
	log, _, _, f := y.record(rng)
	m := &Marks{Clock: flowlog.UTC}
	for _, k := range in.Marks {
		m.Marks = append(m.Marks, Mark{TimeNS: log.TimeNS[0] - int64(y.dtS*1e9) + int64(k[1]*1e9), Run: f.Map[int(k[0])-1].Run})
	}
	proof, err := Prove(f, log, Options{Marks: m})
	if err != nil {
		t.Fatal(err)
	}
	if got := *proof.ClockOffsetS; math.Abs(got-want.Mean) > 0.2 || math.Abs(got-want.Median) > 0.3 {
		t.Errorf("offset %g s, want %g (mean) or %g (median)", got, want.Mean, want.Median)
	}
	for i, r := range proof.Runs {
		if v := map[bool]Verdict{true: NotWalked, false: AsPlanned}[i == 6]; r.Verdict != v {
			t.Errorf("%s: %v, want %v", r.Run, r.Verdict, v)
		}
	}
}
