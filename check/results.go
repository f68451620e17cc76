package check

// Results are what several rules say, in the order in which they were asked.
type Results []Result

// Worst is the verdict that needs a person most; of none it is Kept, since no
// rule was asked.
func (rs Results) Worst() Verdict {
	worst := Kept
	for _, r := range rs {
		if v := r.Verdict(); v.Worse(worst) {
			worst = v
		}
	}
	return worst
}

// With returns the results with that verdict, in order.
func (rs Results) With(v Verdict) Results {
	var some Results
	for _, r := range rs {
		if r.Verdict() == v {
			some = append(some, r)
		}
	}
	return some
}

// Count is how many results have that verdict.
func (rs Results) Count(v Verdict) int { return len(rs.With(v)) }
