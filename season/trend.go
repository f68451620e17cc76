package season

import (
	"cmp"
	"math"
	"slices"

	"runproof/counts"
	"runproof/measure"
)

const (
	fewestTroubles = 3
	fewestDays     = 4
	mostExact      = 20
)

// trend tests whether troubles came more or less often as the season went on;
// nil where there is too little to go by.
//
// Under a steady rate, and given their number n, troubles fall on the days like
// n draws with chances in proportion to the hours watched. With x_d the middle
// of day d in the season's work the score is S = sum of x over the troubles,
// with mean n m and variance n v, m and v being mean and variance of one draw.
func (s *book) trend(l *Line) *Trend {
	watched, total := 0, 0.0
	for _, h := range l.runHours {
		if h > 0 {
			watched++
		}
		total += h
	}
	if l.Count < fewestTroubles || watched < fewestDays {
		return nil
	}
	chance := make([]float64, len(l.runHours))
	for d, h := range l.runHours {
		chance[d] = h / total
	}
	z, p, exact := scoreTest(l.ByDay, chance, s.place)
	t := &Trend{Z: measure.Round(z, 4), P: measure.Round(p, 6), Exact: exact}
	t.Early, t.Late = s.halves(l)
	t.Ratio, t.Low, t.High, _ = compare(t.Late, t.Early)
	t.Early.Hours, t.Late.Hours = measure.Round(t.Early.Hours, 4), measure.Round(t.Late.Hours, 4)
	return t
}

// scoreTest is the score test of a trend of counts n over days with chances
// chance at places x: z, and the two-sided p, exact for few. Twice the smaller
// tail counts the observed score in both.
func scoreTest(n []int, chance []float64, x []int) (z, p float64, exact bool) {
	sum, score := 0, 0
	var m, v float64
	for d := range n {
		sum, score = sum+n[d], score+n[d]*x[d]
		m += chance[d] * float64(x[d])
	}
	for d := range n {
		v += chance[d] * (float64(x[d]) - m) * (float64(x[d]) - m)
	}
	if !(v > 0) || sum == 0 {
		return 0, 1, false
	}
	z = (float64(score) - float64(sum)*m) / math.Sqrt(float64(sum)*v)
	if sum > mostExact {
		return z, math.Erfc(math.Abs(z) / math.Sqrt2), false
	}
	low, high := tails(sum, score, chance, x)
	return z, min(1, 2*min(low, high)), true
}

// tails are P(S <= score) and P(S >= score) of the sum S of n draws.
func tails(n, score int, chance []float64, x []int) (low, high float64) {
	most := slices.Max(x)
	law := []float64{1}
	for range n {
		next := make([]float64, len(law)+most)
		for at, p := range law {
			if p == 0 {
				continue
			}
			for d, q := range chance {
				next[at+x[d]] += p * q
			}
		}
		law = next
	}
	for at, p := range law {
		if at <= score {
			low += p
		}
		if at >= score {
			high += p
		}
	}
	return low, high
}

// halves parts the days where the season's work is half done; a day belongs
// where its middle lies.
func (s *book) halves(l *Line) (early, late Span) {
	for d, n := range l.ByDay {
		to := &early
		if s.place[d] > 500 {
			to = &late
		}
		to.Count, to.Hours, to.Days = to.Count+n, to.Hours+l.watched(d), to.Days+1
	}
	return early, late
}

// compare is the ratio of rate a over rate b with its exact interval and p. A
// ratio or end that is unlimited or unknown is nil.
func compare(a, b Span) (ratio *float64, low float64, high *float64, p float64) {
	if !(a.Hours > 0) || !(b.Hours > 0) {
		return nil, 0, nil, 1
	}
	r, l, h, p := counts.RateRatio(a.Count, a.Hours, b.Count, b.Hours, confidence)
	return finite(r), significant(l), finite(h), measure.Round(p, 6)
}

func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v = significant(v)
	return &v
}

// significant rounds to six digits: the last of sixteen differ from machine to
// machine.
func significant(v float64) float64 {
	if v == 0 {
		return 0
	}
	return measure.Round(v, 5-int(math.Floor(math.Log10(math.Abs(v)))))
}

// adjustTrends corrects the p of all trends for their number (Holm 1979).
func adjustTrends(doc *Document) {
	var all []*Trend
	for _, lines := range [][]Line{doc.Whole, doc.Products, doc.Heads, doc.Runs, doc.Nodes} {
		for i := range lines {
			if t := lines[i].Trend; t != nil {
				all = append(all, t)
			}
		}
	}
	ps := make([]float64, len(all))
	for i, t := range all {
		ps[i] = t.P
	}
	for i, p := range holm(ps) {
		all[i].Adjusted = measure.Round(p, 6)
	}
}

// holm adjusts p-values for their number (Holm 1979, Scandinavian Journal of
// Statistics 6:65): the i-th least times how many are not less, never below the
// one before it, and 1 at most.
func holm(ps []float64) []float64 {
	order := make([]int, len(ps))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ps[a], ps[b]) })
	out, most := make([]float64, len(ps)), 0.0
	for rank, i := range order {
		most = max(most, min(1, ps[i]*float64(len(ps)-rank)))
		out[i] = most
	}
	return out
}

// level5 is the chance of a false finding that the whole document allows for
// each of its questions.
const level5 = 0.05

// Sure says whether the trend is beyond chance after the correction.
func (t *Trend) Sure() bool { return t != nil && t.Adjusted <= level5 }

// Worse are the lines that grew worse beyond chance; a product or drill is left
// out where a part of it did.
func (d *Document) Worse() []Line { return d.changed(func(t *Trend) bool { return t.Z > 0 }) }

// Better are the lines that grew better beyond chance.
func (d *Document) Better() []Line { return d.changed(func(t *Trend) bool { return t.Z < 0 }) }

func (d *Document) changed(which func(*Trend) bool) []Line {
	var out []Line
	for _, lines := range [][]Line{d.Runs, d.Nodes, d.Heads, d.Products, d.Whole} {
		for _, l := range lines {
			told := slices.ContainsFunc(out, func(o Line) bool { return o.Trouble == l.Trouble && l.holds(o.Place) })
			if l.Trend.Sure() && which(l.Trend) && !told {
				out = append(out, l)
			}
		}
	}
	return out
}
