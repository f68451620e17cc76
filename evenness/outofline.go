package evenness

import (
	"math"

	"runproof/drill"
)

// Odd is a run out of line with the others of its head.
type Odd struct {
	Run       drill.RunID `json:"run"`       // id of the run
	Deviation float64     `json:"deviation"` // from the mean of the other runs of its head: -0.2 is 20 % less
	P         float64     `json:"p"`         // family-wise: chance that any run of the product lies so far out where all are alike
	Words     string      `json:"words"`     // the same in a sentence
}

// oddOne is an odd run by its index.
type oddOne struct {
	i int
	p float64
}

// outOfLine finds the runs that do not belong to the scatter of the others, by
// Rosner's (1983, Technometrics 25:165) generalised extreme Studentised deviate:
// up to most runs are taken away one after the other, each time the one that
// lies farthest from its head's mean in units of its own standard deviation,
// and judged by the t of the deleted residual, over all runs that are left
// (Bonferroni). So one blocked run does not hide a second. With one head it is
// Rosner's test. p of a run is the least of its own step's and those after it.
func outOfLine(x []float64, head []drill.HeadID, most int) []oddOne {
	out := make([]bool, len(x))
	var steps []oddOne
	for range most {
		i, p := farthest(x, head, out)
		if i < 0 {
			break
		}
		out[i] = true
		steps = append(steps, oddOne{i, p})
	}
	last := -1
	for k := len(steps) - 1; k >= 0; k-- {
		if k+1 < len(steps) {
			steps[k].p = math.Min(steps[k].p, steps[k+1].p)
		}
		if last < 0 && steps[k].p <= significant {
			last = k
		}
	}
	return steps[:last+1]
}

// farthest is the run still in with the greatest deleted residual and its
// family-wise p; -1 where no run can be judged.
func farthest(x []float64, head []drill.HeadID, out []bool) (run int, p float64) {
	n, sum := map[drill.HeadID]float64{}, map[drill.HeadID]float64{}
	left, heads := 0, 0
	for i, v := range x {
		if !out[i] {
			if n[head[i]] == 0 {
				heads++
			}
			n[head[i]]++
			sum[head[i]] += v
			left++
		}
	}
	rss := 0.0
	for i, v := range x {
		if h := head[i]; !out[i] {
			rss += sq(v - sum[h]/n[h])
		}
	}
	df := left - heads - 1 // with the run itself taken away
	best := -1
	most := 0.0
	for i, v := range x {
		h := head[i]
		if out[i] || n[h] < 2 || df < 1 {
			continue
		}
		e := v - sum[h]/n[h]
		own := sq(e) / (1 - 1/n[h])
		if t := math.Abs(e) / math.Sqrt((1-1/n[h])*math.Max(rss-own, 1e-12*rss)/float64(df)); t > most {
			best, most = i, t
		}
	}
	if best < 0 {
		return -1, 1
	}
	return best, math.Min(1, float64(left)*twoSided(most, df))
}

// mostOdd is how many runs may be called out of line: a quarter of them; more is
// not a few odd ones but how the drill is.
func mostOdd(runs int) int { return max(1, runs/4) }
