package replay

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"runproof/counts"
	"runproof/drill"
	"runproof/flowlog"
	"runproof/measure"
	"runproof/review"
)

func (s *session) hours() float64 { return s.machine.workS / 3600 }

// targetsOf gives the scored events of a product, by their place among the
// day's events.
func (p *player) targetsOf(id drill.ProductID) iter.Seq2[int, *target] {
	return func(yield func(int, *target) bool) {
		for e := range p.targets.all {
			if t := &p.targets.all[e]; t.scored && t.Product == id && !yield(e, t) {
				return
			}
		}
	}
}

func (p *player) has(id drill.ProductID) bool {
	return slices.ContainsFunc(p.keys, func(k Key) bool { return k.Product == id })
}

func (s *session) document() *Document {
	m := s.machine
	doc := &Document{
		Runproof: Version, Drill: s.fit.Drill.Name, FitRevision: s.fit.Revision, Start: s.clock.Format(s.firstNS), End: s.clock.Format(m.lastNS),
		Samples: m.samples, IntervalS: m.intervalS, WorkHours: measure.Round(s.hours(), 4), WorkMetres: measure.Round(m.distM, 1),
		Allowed: s.opt.Allowed, Rules: []Outcome{}, Curve: []Point{}, Warnings: []string{},
	}
	if doc.Allowed <= 0 {
		doc.Allowed = s.books[0].Rules.Allowed
	}
	if doc.Allowed <= 0 {
		doc.Allowed = 1
	}
	for _, p := range s.players {
		doc.Rules = append(doc.Rules, s.outcome(p))
	}
	doc.Best, doc.Curve = s.best(doc.Allowed)
	if doc.Curve == nil {
		doc.Curve = []Point{}
	}
	s.warn(doc)
	return doc
}

// outcome is what one player's rules did.
func (s *session) outcome(p *player) Outcome {
	o := Outcome{Name: p.Name, Products: slices.Clone(p.keys), Events: []Catch{}, False: s.falseAlarms(p)}
	missed := 0.0
	for e := range s.targets.all {
		t, f := &s.targets.all[e], p.firsts[e]
		c := Catch{Event: t.ID, Kind: t.Kind, Run: t.Run, Head: t.Head, Product: t.Product, Node: t.Node, Metres: t.Metres, Alarms: f.alarms}
		if f.alarms > 0 {
			afterS, afterM := measure.Round(f.afterS, 3), measure.Round(f.afterM, 2)
			c.By, c.AfterS, c.AfterM = s.layout.runs[f.run].ID, &afterS, &afterM
			o.Caught++
		} else {
			c.Why = p.why(t, s.layout)
		}
		if t.scored {
			m := t.Metres
			if f.alarms > 0 {
				m = t.missedM(f.afterM)
			} else {
				o.Missed++
			}
			missed += m
			o.credit(t, f.alarms > 0, m)
		}
		o.Events = append(o.Events, c)
	}
	o.MissedM = measure.Round(missed, 2)
	for i := range o.Products {
		k := &o.Products[i]
		k.MissedM, k.TakenM = measure.Round(k.MissedM, 2), measure.Round(k.TakenM, 2)
	}
	return o
}

// credit puts a scored event to its product's rule.
func (o *Outcome) credit(t *target, caught bool, missedM float64) {
	i := slices.IndexFunc(o.Products, func(k Key) bool { return k.Product == t.Product })
	if i < 0 {
		return
	}
	k := &o.Products[i]
	k.MissedM, k.TakenM = k.MissedM+missedM, k.TakenM+t.Metres
	if caught {
		k.Caught++
	} else {
		k.Missed++
	}
}

func (s *session) falseAlarms(p *player) FalseAlarms {
	f := FalseAlarms{Count: p.quiet, Starting: p.rash, Listed: []Alarm{}}
	for _, w := range p.Rules.Rules {
		f.Predicted += w.FalseAlarmsPerDay
	}
	f.Predicted = measure.Round(f.Predicted, 4)
	if h := s.hours(); h > 0 {
		low, high := counts.PoissonInterval(f.Count, 0.95)
		f.PerDay, f.Low, f.High = measure.Round(float64(f.Count)/h*10, 3), measure.Round(low/h*10, 3), measure.Round(high/h*10, 3)
	}
	for _, a := range p.listed[:min(len(p.listed), mostListed)] {
		a.Time = s.clock.Format(a.ns)
		f.Listed = append(f.Listed, a)
	}
	return f
}

// why says why a rule on shares did not sound for an event, where that is no
// matter of chance.
func (p *player) why(t *target, l layout) string {
	switch t.Kind {
	case review.HeadStarved, review.ProductOut:
		return "all its runs fell together, so that their shares stayed: a rule on shares cannot see it; a limit on the head's total can"
	case review.NoData:
		return "a silent node reports nothing, and nothing is not low; a monitor must tell that by itself"
	case review.Noisy:
		return "it counted too much, which is never low"
	case review.SensorLost:
		return "its readings did not stay below the floor; readings that are gone are not low"
	}
	i := slices.IndexFunc(l.runs, func(r watched) bool { return r.ID == t.Run })
	if i < 0 || p.runs[i].share == 0 {
		return "the rules have no share or no rule for this run"
	}
	if left := 1 - t.Lost; left > p.runs[i].part/p.runs[i].share {
		return fmt.Sprintf("it kept %.0f %% of its flow, above the floor of %.0f %%", 100*left, 100*p.runs[i].part/p.runs[i].share)
	}
	return ""
}

// warn says what a reader should know of the figures.
func (s *session) warn(doc *Document) {
	note := func(format string, args ...any) { doc.Warnings = append(doc.Warnings, fmt.Sprintf(format, args...)) }
	for _, p := range s.players {
		if was := p.Rules.IntervalS; was > 0 && math.Abs(was/s.machine.intervalS-1) > 0.02 {
			note("%s was reckoned for samples of %.3g s, the log has one every %.3g s: holds are kept in seconds, but its predictions do not hold here", p.Name, was, s.machine.intervalS)
		}
		if ids := p.unwatched(s.layout); len(ids) > 0 {
			note("%s has no rule or no share for %s: not watched, and not in the totals of their heads", p.Name, strings.Join(ids, ", "))
		}
	}
	if len(s.layout.none) > 0 {
		note("the log lacks the ports of %s", strings.Join(words(s.layout.none), ", "))
	}
	if s.bind.Work == flowlog.None {
		note("the log has no work column: the drill is taken to be in the ground while more than 15 %% of its usual flow is counted")
	}
	if n := s.strangers(); n > 0 {
		note("%d of the %d events lie outside the time of the log: are they of another recording?", n, len(s.targets.all))
	}
	if h := s.hours(); h > 0 && h < 5 {
		note("%.2g h in work are short for a rate of false alarms: each one counts %.2g in 10 h", h, 10/h)
	}
}

// strangers counts the events that do not lie within the log.
func (s *session) strangers() int {
	n := 0
	for _, t := range s.targets.all {
		if t.endNS < s.firstNS-marginNS || t.startNS > s.machine.lastNS+marginNS {
			n++
		}
	}
	return n
}

func (p *player) unwatched(l layout) []string {
	var ids []string
	for i, r := range p.runs {
		if r.share == 0 {
			ids = append(ids, string(l.runs[i].ID))
		}
	}
	return ids
}

func words(ids []drill.RunID) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = string(id)
	}
	return out
}
