package season

import (
	"cmp"
	"fmt"
	"slices"

	"runproof/measure"
)

// aftermath compares, for each repair, the days before with the days after.
// Troubles that neither had are left out, unless the place had none at all.
func (s *book) aftermath(doc *Document, repairs []Repair) []Aftermath {
	rs := slices.Clone(repairs)
	for i := range rs {
		rs[i].place()
	}
	slices.SortStableFunc(rs, func(a, b Repair) int { return cmp.Compare(a.fromNS, b.fromNS) })
	out := []Aftermath{}
	for i := range rs {
		lines := doc.Runs
		switch rs[i].level() {
		case OfHead:
			lines = doc.Heads
		case OfNode:
			lines = doc.Nodes
		}
		before, after := s.around(rs, i)
		var found []Aftermath
		for k := range lines {
			if rs[i].is(lines[k].Place) {
				found = append(found, s.compared(rs[i], lines, k, before, after))
			}
		}
		busy := slices.DeleteFunc(slices.Clone(found), func(a Aftermath) bool { return a.Before.Count+a.After.Count == 0 })
		if len(busy) == 0 {
			busy = found[:min(1, len(found))]
		}
		out = append(out, busy...)
	}
	return out
}

// around gives the days before and after repair i, as far as the repairs of the
// same place next to it. A recording that was running while it was repaired
// belongs to neither.
func (s *book) around(rs []Repair, i int) (before, after []int) {
	from, to := int64(-1<<63), int64(1<<63-1)
	for k := range rs {
		switch {
		case k == i || !rs[k].same(&rs[i]):
		case rs[k].toNS <= rs[i].fromNS:
			from = max(from, rs[k].toNS)
		case rs[k].fromNS >= rs[i].toNS:
			to = min(to, rs[k].fromNS)
		}
	}
	for d := range s.days {
		day := &s.days[d]
		switch {
		case day.endNS < rs[i].fromNS && day.startNS >= from:
			before = append(before, d)
		case day.startNS >= rs[i].toNS && day.endNS < to:
			after = append(after, d)
		}
	}
	return before, after
}

// span counts a line over some days.
func span(l *Line, days []int) Span {
	p := Span{Days: len(days)}
	for _, d := range days {
		p.Count, p.Hours = p.Count+l.ByDay[d], p.Hours+l.watched(d)
	}
	return p
}

func (s *book) compared(r Repair, lines []Line, k int, before, after []int) Aftermath {
	l := &lines[k]
	a := Aftermath{Repair: r, Trouble: l.Trouble, Before: span(l, before), After: span(l, after)}
	a.Ratio, a.Low, a.High, a.P = compare(a.After, a.Before)
	a.Others.Before.Days, a.Others.After.Days = len(before), len(after)
	for i := range lines {
		o := &lines[i]
		if i == k || o.Trouble != l.Trouble || !l.rivals(o.Place) {
			continue
		}
		b, c := span(o, before), span(o, after)
		a.Others.Before.Count, a.Others.Before.Hours = a.Others.Before.Count+b.Count, a.Others.Before.Hours+b.Hours*float64(o.runs)
		a.Others.After.Count, a.Others.After.Hours = a.Others.After.Count+c.Count, a.Others.After.Hours+c.Hours*float64(o.runs)
	}
	a.Others.Ratio, a.Others.Low, a.Others.High, _ = compare(a.Others.After, a.Others.Before)
	a.Says = a.says(l.Place)
	for _, p := range []*Span{&a.Before, &a.After, &a.Others.Before, &a.Others.After} {
		p.Hours = measure.Round(p.Hours, 4)
	}
	return a
}

// says puts it in a sentence.
func (a *Aftermath) says(p Place) string {
	text := fmt.Sprintf("%s: %s in %s before, %d in %d after", p, many(a.Before.Count, a.Trouble.String()+" trouble"), many(a.Before.Days, "recording"), a.After.Count, a.After.Days)
	switch {
	case a.Before.Days == 0 || a.After.Days == 0:
		return text + "; there is nothing to hold it against."
	case a.Before.Count+a.After.Count == 0:
		return text + ": it was no trouble before either."
	}
	text += "; the rate is " + ratioWords(a.Ratio, a.Low, a.High) + " what it was"
	if o := a.Others; o.Before.Count+o.After.Count > 0 {
		text += ", that of the others " + ratioWords(o.Ratio, o.Low, o.High)
	}
	switch {
	case a.Helped():
		return text + ". It helped, beyond chance."
	case a.Harmed():
		return text + ". It is worse than before, beyond chance."
	}
	return text + ". That may be chance."
}

// Helped says whether the rate fell beyond chance: the interval lies below 1.
func (a *Aftermath) Helped() bool { return a.High != nil && *a.High < 1 }

// Harmed says whether the rate rose beyond chance.
func (a *Aftermath) Harmed() bool { return a.Low > 1 }

// many counts things.
func many(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// ratioWords writes a ratio with its interval.
func ratioWords(ratio *float64, low float64, high *float64) string {
	most := "any number"
	if high != nil {
		most = fmt.Sprintf("%.2g", *high)
	}
	switch {
	case ratio == nil && high == nil:
		return fmt.Sprintf("above %.2g times", low)
	case ratio == nil:
		return fmt.Sprintf("%.2g to %s times", low, most)
	}
	return fmt.Sprintf("%.2g (%.2g to %s) times", *ratio, low, most)
}
