package alarm

import (
	"math"

	"runproof/counts"
	"runproof/drill"
	"runproof/measure"
)

// split cuts every head's samples in two at a part of their number.
func split(heads []headData, part float64) (first, rest []headData) {
	for _, h := range heads {
		at := int(part * float64(len(h.totals)))
		a, b := h, h
		a.xs, b.xs = nil, nil
		for _, x := range h.xs {
			a.xs, b.xs = append(a.xs, x[:at]), append(b.xs, x[at:])
		}
		a.totals, b.totals = h.totals[:at], h.totals[at:]
		a.rows, b.rows = h.rows[:at], h.rows[at:]
		a.stretch, b.stretch = h.stretch[:at], h.stretch[at:]
		first, rest = append(first, a), append(rest, b)
	}
	return first, rest
}

// validate predicts from the first 70 % how many spells of K lows the rest
// shows, K being the longest that is expected at least 25 times, and counts
// them. They agree within a factor of two, give or take three standard
// deviations of the count (twice Poisson's: lows of siblings are not
// independent).
func (k *desk) validate(heads []headData, w Rule) (Validation, bool) {
	first, rest := split(heads, 0.7)
	trial := *k
	trial.laws, trial.heads = fitProduct(first, k.dt), first
	samples := 0
	for _, h := range rest {
		samples = max(samples, len(h.totals))
	}
	v := Validation{Product: k.product}
	if len(trial.laws) == 0 || samples < 200 {
		return v, false
	}
	alarms, _ := trial.falseAlarms(w.Floor)
	for d, a := range alarms {
		if e := a * float64(samples) * k.dt / workDayS; e >= 25 {
			v.K, v.Expected = d+1, measure.Round(e, 1)
		}
	}
	if v.K == 0 {
		return v, false
	}
	shares := map[drill.RunID]float64{}
	for _, l := range trial.laws {
		shares[l.id] = l.fit.Share
	}
	v.Observed = countSpells(rest, shares, w.Floor, v.K)
	slack := 3 * 2 * math.Sqrt(v.Expected)
	v.Agrees = float64(v.Observed) < 2*v.Expected+slack && float64(v.Observed) > v.Expected/2-slack
	return v, true
}

// countSpells counts the spells of lows that reach k samples.
func countSpells(heads []headData, shares map[drill.RunID]float64, floor float64, k int) int {
	count := 0
	for _, h := range heads {
		for r, id := range h.runs {
			h.eachSpell(r, floor*shares[id], func(length int) {
				if length >= k {
					count++
				}
			})
		}
	}
	return count
}

// eachSpell calls fn with the length of every spell of samples in which the
// run's count is below part of the head's total.
func (h *headData) eachSpell(r int, part float64, fn func(length int)) {
	in := 0
	for i, x := range h.xs[r] {
		low := x <= counts.LargestBelow(part*float64(h.totals[i]))
		broken := i > 0 && h.stretch[i] != h.stretch[i-1]
		if in > 0 && (!low || broken) {
			fn(in)
			in = 0
		}
		if low {
			in++
		}
	}
	if in > 0 {
		fn(in)
	}
}
