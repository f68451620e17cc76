package cost

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/measure"
	"runproof/review"
)

// sums writes the products' sums and the total.
func (e *estimator) sums() {
	e.doc.Products = []ProductCost{}
	anyKg, anyMoney, anySaved := false, false, false
	for i, s := range e.stands {
		kg, money, saved := e.can(i)
		p := ProductCost{Product: s.product.ID, Crop: s.crop, PitchM: measure.Round(e.pitchM(), 4)}
		p.Sum = e.sum(&e.totals[i], kg, money, saved)
		if money {
			p.NetCorners = e.corners(i)
		}
		anyKg, anyMoney, anySaved = anyKg || kg, anyMoney || money, anySaved || saved
		e.doc.Products = append(e.doc.Products, p)
	}
	e.doc.Total = e.sum(&e.totals[len(e.stands)], anyKg, anyMoney, anySaved)
	if anyMoney {
		e.doc.Total.NetCorners = e.corners(-1)
	}
}

func (e *estimator) sum(t *tally, kg, money, saved bool) Sum {
	s := Sum{Events: t.events, MissedM2: measure.Round(t.missedM2, 1)}
	intervals(&s, t.by, kg, money, saved)
	return s
}

// corners are the ends of all combinations. Each figure moves the net one way
// only, so the two ends of all of them are the ends of the whole.
func (e *estimator) corners(stand int) *Corners {
	end := func(sign int) float64 {
		d := fixed(e.taken, len(e.stands), func(a *assumed) float64 {
			if worse(a.Key) == sign {
				return a.High
			}
			return a.Low
		})
		return tidy(e.all(stand, &d).net())
	}
	return &Corners{Least: end(-1), Most: end(1)}
}

func (o outcome) net() float64 { return o.money - o.saved }

// all is what one draw makes of all events of a stand; -1 = of every one.
func (e *estimator) all(stand int, d *draw) outcome {
	var t tally
	t.by = make([]outcome, 1)
	for i := range e.losses {
		if l := &e.losses[i]; l.stand >= 0 && (stand < 0 || l.stand == stand) {
			t.add(0, []outcome{e.outcomeOf(l, d)})
		}
	}
	return t.by[0]
}

// weigh moves each assumption alone.
func (e *estimator) weigh() {
	e.doc.Weighs = []Weigh{}
	for i := range e.taken {
		a := &e.taken[i]
		at := func(v float64) float64 {
			d := fixed(e.taken, len(e.stands), func(b *assumed) float64 {
				if b == a {
					return v
				}
				return b.Likely
			})
			if o := e.all(-1, &d); e.doc.Total.Net != nil {
				return tidy(o.net())
			} else {
				return tidy(o.harvestM2)
			}
		}
		if w := (Weigh{a.Product, a.Key, a.Name, at(a.Low), at(a.High)}); w.AtLow != w.AtHigh {
			e.doc.Weighs = append(e.doc.Weighs, w)
		}
	}
	slices.SortStableFunc(e.doc.Weighs, func(a, b Weigh) int {
		return cmp.Compare(math.Abs(b.AtHigh-b.AtLow), math.Abs(a.AtHigh-a.AtLow))
	})
}

// remarks say what is in no figure, and what the reader should know.
func (e *estimator) remarks() {
	d := e.doc
	d.NotCounted = []string{
		"weeds that stand in the gaps, and what they seed",
		"plants at gaps that ripen later or unevenly, and what that does to harvest and quality",
		"stripes that can be seen",
		"what the siblings of a blocked run did with the seed that they got on top",
		"fertiliser that did not reach its row: there is no general figure, so metres and area are all that is said",
	}
	d.Notes = []string{}
	for i := range e.stands {
		e.noteStand(i)
	}
	e.noteDays()
	e.noteRows()
	e.noteResow()
}

func (e *estimator) note(text string, args ...any) {
	e.doc.Notes = append(e.doc.Notes, fmt.Sprintf(text, args...))
}

func (e *estimator) noteStand(i int) {
	s := &e.stands[i]
	kg, money, _ := e.can(i)
	switch {
	case e.totals[i].events == 0:
	case !s.known:
		e.note("%s", s.missing())
	case !kg:
		e.note("no yield is given for product %s: the loss stands as ground whose harvest it comes to", s.product.ID)
	case !money:
		e.note("no price is given for product %s: the loss stands in kilograms", s.product.ID)
	}
	if s.known && s.product.RateKgHa == 0 && slices.ContainsFunc(e.losses, func(l loss) bool {
		return l.stand == i && (l.event.Kind == review.ProductOut || l.event.Kind == review.HeadStarved)
	}) {
		e.note("the drill's description gives no rate of product %s: seed that stayed in the tank is not reckoned", s.product.ID)
	}
}

// noteResow tells that one pass may close several gaps.
func (e *estimator) noteResow() {
	if e.in.Assumptions.Resow == nil {
		return
	}
	for i := range e.doc.Events {
		if x := &e.doc.Events[i]; x.Resow != nil && x.Run != "" && slices.ContainsFunc(x.Pieces, func(p Piece) bool { return p.Rows > 1 }) {
			e.note("sowing again is reckoned for each event by itself: where several lie side by side, one pass closes them all")
			return
		}
	}
}

// noteDays tells of nodes that said nothing, and of days without places.
func (e *estimator) noteDays() {
	silent := 0.0
	placeless := false
	for _, day := range e.in.Days {
		for i := range day.Events {
			ev := &day.Events[i]
			if ev.Kind == review.NoData {
				silent += ev.Metres
			}
			placeless = placeless || ev.Kind.LosesSeed() && ev.AreaM2 > 0 && skipOf(&day, ev.ID) == nil
		}
	}
	if silent > 0 {
		e.note("nodes were silent over %s of travel: what was missed there is not known", e.words.Way(silent))
	}
	if placeless {
		e.note("some events have no place: rows count as side by side where they were short at the same time, and the next pass is not looked at")
	}
}

// noteRows tells of what lies beside rows that are shut on purpose, and of rows
// with several seeds.
func (e *estimator) noteRows() {
	closed := map[int]bool{}
	for _, r := range e.in.Drill.Runs() {
		if r.Closed {
			closed[r.Row] = true
		}
	}
	beside, several := 0, false
	for i := range e.losses {
		l := &e.losses[i]
		if l.stand < 0 {
			continue
		}
		if slices.ContainsFunc(l.rows, func(r int) bool { return closed[r-e.pitch] || closed[r+e.pitch] }) {
			beside++
		}
		several = several || weight(e.in.Drill, e.stands, l.event.Product, l.rows) < 1
	}
	if beside > 0 {
		e.note("%s beside rows that are shut on purpose, which have no crop to help: their cost is nearer its upper limit", eventsLie(beside))
	}
	if several {
		e.note("some rows get more than one product that carries seed: a row without one of them counts as thin, by the rates")
	}
}

func eventsLie(n int) string {
	if n == 1 {
		return "1 event lies"
	}
	return fmt.Sprintf("%d events lie", n)
}
