package cost

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/counts"
	"runproof/drill"
	"runproof/measure"
	"runproof/review"
)

// DefaultDraws are enough that the limits stand still within a few percent of
// the interval.
const DefaultDraws = 10000

// Input is what an estimate is made from.
type Input struct {
	Drill       *drill.Drill
	Days        []Day
	Assumptions Assumptions
	Seed        uint64
	Draws       int // 0 = DefaultDraws
}

// Estimate reckons what the days' skips may cost. Events that cost nothing of a
// harvest (sensors, nodes) are not in it.
func Estimate(in Input) *Document {
	e := newEstimator(in)
	e.gather()
	e.doc.Events = []EventCost{}
	for i := range e.losses {
		e.event(&e.losses[i])
	}
	slices.SortStableFunc(e.doc.Events, e.order)
	e.sums()
	e.weigh()
	e.remarks()
	return e.doc
}

// estimator is an estimate in the making.
type estimator struct {
	in     Input
	doc    *Document
	stands []stand
	taken  []assumed
	draws  []draw
	pitch  int
	losses []loss
	totals []tally // by stand; the last is of all
	words  Words
}

// loss is one event that left ground short.
type loss struct {
	day    int
	event  *review.Event
	stand  int // -1 = not seed
	rows   []int
	pieces []Piece

	unmeteredKg float64 // what its rows did not get
}

// outcome is what one draw makes of an event.
type outcome struct{ harvestM2, kg, money, savedKg, saved, resow float64 }

// tally sums outcomes by draw.
type tally struct {
	events   int
	missedM2 float64
	by       []outcome
}

func newEstimator(in Input) *estimator {
	if in.Draws <= 0 {
		in.Draws = DefaultDraws
	}
	e := &estimator{in: in, stands: stands(in.Drill, &in.Assumptions, BuiltInCrops()), words: Words{in.Drill.Display, in.Assumptions.Currency}}
	e.pitch = pitch(in.Drill, e.stands)
	e.doc = &Document{Runproof: Version, Drill: in.Drill.Name, Currency: in.Assumptions.Currency, Seed: in.Seed, Draws: in.Draws}
	e.assume()
	e.draws = draws(e.taken, len(e.stands), in.Draws, in.Seed)
	e.totals = make([]tally, len(e.stands)+1)
	for i := range e.totals {
		e.totals[i].by = make([]outcome, in.Draws)
	}
	return e
}

// assume lists what is taken, each with a stream of its own.
func (e *estimator) assume() {
	for i, s := range e.stands {
		for _, a := range s.taken {
			e.taken = append(e.taken, assumed{a, i, stream(s.index+1, a.Key)})
		}
	}
	as := &e.in.Assumptions
	e.shared("strip_part", "", as.StripPart, Assumption{Name: "ground short, as a part of what the review reckoned", Range: Range{0.97, 1, 1.03}, Mark: Measured, Source: "metres of 282 faults on 50 made days: nine in ten within 2 % of the truth"})
	e.shared("thin_help", "", as.ThinHelp, Assumption{Name: "help to a thin row, as a part of the help to a bare one", Range: Range{0, 0.5, 1}, Source: "no trial known: the whole range"})
	e.shared("starved_saved", "", as.StarvedSaved, Assumption{Name: "part of a starved head's seed that stayed in the tank", Range: Range{0, 0.5, 1}, Source: "1 where the head has a meter of its own, 0 where other heads took its product"})
	if r := as.Resow; r != nil {
		work := r.workPerHa()
		e.shared("work_per_ha", "per ha", &work, Assumption{Name: "sowing again: tractor, drill and driver"})
		e.shared("yield_part", "", &r.YieldPart, Assumption{Name: "yield of what is sown so late, as a part of the rest"})
	}
	e.doc.Assumptions = []Assumption{}
	for _, a := range e.taken {
		e.doc.Assumptions = append(e.doc.Assumptions, a.Assumption)
	}
}

// shared adds an assumption of all products: the grower's own, or the usual.
func (e *estimator) shared(key, unit string, own *Range, usual Assumption) {
	usual.Key, usual.Unit = key, unit
	if own != nil {
		usual.Range, usual.Mark, usual.Source = *own, Yours, ""
	}
	e.taken = append(e.taken, assumed{usual, -1, stream(0, key)})
}

// stream numbers the draws of a figure of a product (FNV-1a).
func stream(product int, key string) uint64 {
	h := uint64(14695981039346656037)
	for _, b := range []byte(fmt.Sprint(product, key)) {
		h = (h ^ uint64(b)) * 1099511628211
	}
	return h
}

// gather lists the events that left ground short, and cuts the ground of those
// that miss seed.
func (e *estimator) gather() {
	d := e.in.Drill
	ground := shortGround{spacingM: d.Rows.SpacingM, pitchM: d.Rows.SpacingM * float64(e.pitch), widthM: d.WidthM()}
	var of []int
	for i := range e.in.Days {
		day := &e.in.Days[i]
		for k := range day.Events {
			ev := &day.Events[k]
			if !ev.Kind.LosesSeed() {
				continue
			}
			l := loss{day: i, event: ev, rows: rowsOf(d, ev)}
			l.unmeteredKg = unmeteredKg(d, &l)
			l.stand = slices.IndexFunc(e.stands, func(s stand) bool { return s.product.ID == ev.Product })
			e.losses = append(e.losses, l)
			if l.stand >= 0 {
				sp := spell{day: i, event: ev, rows: l.rows, weight: weight(d, e.stands, ev.Product, l.rows), skip: skipOf(day, ev.ID)}
				sp.fromNS, sp.toNS = span(ev)
				ground.spells, of = append(ground.spells, sp), append(of, len(e.losses)-1)
			}
		}
	}
	for i, pieces := range ground.cut() {
		e.losses[of[i]].pieces = pieces
	}
}

// skipOf joins the strips of an event; nil where its place is not known.
func skipOf(day *Day, event int) *Skip {
	var out *Skip
	for _, s := range day.Skips {
		if s.Event != event || len(s.Polygons) == 0 {
			continue
		}
		if out == nil {
			out = &Skip{Event: event}
		}
		out.Polygons = append(out.Polygons, s.Polygons...)
	}
	return out
}

// rowsOf are the rows that the event left short, from the left.
func rowsOf(d *drill.Drill, ev *review.Event) []int {
	var rows []int
	for _, r := range d.Runs() {
		mine := r.ID == ev.Run
		if ev.Run == "" {
			mine = r.Product == ev.Product && (ev.Head == "" || ev.Head == r.Head)
		}
		if mine && !r.Closed {
			rows = append(rows, r.Row)
		}
	}
	slices.Sort(rows)
	return slices.Compact(rows)
}

// outcomeOf is what one draw makes of an event.
func (e *estimator) outcomeOf(l *loss, d *draw) outcome {
	var o outcome
	areaM2, pitchM := 0.0, e.pitchM()
	st := &e.stands[l.stand]
	c := &d.crops[l.stand]
	if !st.known {
		return o
	}
	for _, p := range l.pieces {
		o.harvestM2 += d.strips * p.AreaM2 * c.LostPart(p.Rows, pitchM, p.Left)
		areaM2 += d.strips * p.AreaM2
	}
	o.kg = o.harvestM2 * c.yieldTHa / 10
	o.money = o.kg / 1000 * c.pricePerT
	o.savedKg = e.savedKg(l, d)
	o.saved = o.savedKg * c.seedPerKg
	if e.in.Assumptions.Resow != nil {
		o.resow = e.resowM2(l)/1e4*(d.workPerHa+st.product.RateKgHa*c.seedPerKg) + max(0, 1-d.lateShr)*areaM2*c.yieldTHa/1e4*c.pricePerT
	}
	return o
}

// savedKg is what stayed in the tank. What a blocked or restricted run does not
// take goes to its siblings; a product that is out, or a head that starves at
// its own meter, is not metered at all. The rate is that over the whole width.
func (e *estimator) savedKg(l *loss, d *draw) float64 {
	switch l.event.Kind {
	case review.ProductOut:
		return l.unmeteredKg
	case review.HeadStarved:
		return l.unmeteredKg * d.saved
	}
	return 0
}

// unmeteredKg is what the event's rows did not get.
func unmeteredKg(d *drill.Drill, l *loss) float64 {
	p, _ := d.Product(l.event.Product)
	part := float64(len(l.rows)) / math.Max(1, float64(d.OpenRuns(p.ID)))
	return p.RateKgHa / 1e4 * l.event.Metres * d.WidthM() * part * lostPart(l.event)
}

// resowM2 is the ground that a pass goes over to sow the event's again.
func (e *estimator) resowM2(l *loss) float64 {
	return l.event.Metres * cmp.Or(e.in.Assumptions.Resow.widthM(), e.in.Drill.WidthM())
}

func (e *estimator) pitchM() float64 { return e.in.Drill.Rows.SpacingM * float64(e.pitch) }

// can says which figures of a stand can be reckoned.
func (e *estimator) can(stand int) (kg, money, saved bool) {
	s := &e.stands[stand]
	kg = s.known && s.has("yield_t_ha")
	return kg, kg && s.has("price_per_t"), s.has("seed_price_per_kg")
}

// event reckons one event and adds it to the sums.
func (e *estimator) event(l *loss) {
	ev := l.event
	c := EventCost{
		Event: ev.ID, Kind: ev.Kind, Run: ev.Run, Head: ev.Head, Product: ev.Product,
		Metres: ev.Metres, AreaM2: ev.AreaM2, Pieces: []Piece{},
	}
	if len(e.in.Days) > 1 {
		c.Day = e.in.Days[l.day].Name
	}
	if l.stand >= 0 {
		c.Crop = e.stands[l.stand].crop
		e.reckon(l, &c)
	} else {
		e.leftInTank(l, &c)
	}
	c.Says = e.words.says(&c)
	e.doc.Events = append(e.doc.Events, c)
}

// leftInTank is all that is reckoned of a fertiliser: kilograms, no money.
func (e *estimator) leftInTank(l *loss, c *EventCost) {
	if e.savedKg(l, &draw{saved: 1}) == 0 {
		return
	}
	v := make([]float64, len(e.draws))
	for i := range e.draws {
		v[i] = e.savedKg(l, &e.draws[i])
	}
	c.SavedKg = interval(v)
}

func (e *estimator) reckon(l *loss, c *EventCost) {
	missed := 0.0
	for _, p := range l.pieces {
		missed += p.AreaM2
		p.AreaM2 = measure.Round(p.AreaM2, 2)
		c.Pieces = append(c.Pieces, p)
	}
	all := make([]outcome, len(e.draws))
	for i := range e.draws {
		all[i] = e.outcomeOf(l, &e.draws[i])
	}
	e.totals[l.stand].add(missed, all)
	e.totals[len(e.stands)].add(missed, all)
	if !e.stands[l.stand].known {
		return
	}
	kg, money, saved := e.can(l.stand)
	var sum Sum
	intervals(&sum, all, kg, money, saved)
	c.HarvestM2 = &sum.HarvestM2
	c.LostKg, c.Lost, c.SavedKg, c.Saved, c.Net = sum.LostKg, sum.Lost, sum.SavedKg, sum.Saved, sum.Net
	if money && e.in.Assumptions.Resow != nil {
		c.Resow = e.resown(l, all)
	}
}

func (e *estimator) resown(l *loss, all []outcome) *Resown {
	less := 0
	for _, o := range all {
		if o.resow < o.money {
			less++
		}
	}
	return &Resown{
		AreaM2:  measure.Round(e.resowM2(l), 1),
		Cost:    *intervalOf(all, func(o outcome) float64 { return o.resow }),
		Cheaper: measure.Round(float64(less)/float64(len(all)), 3),
	}
}

func (t *tally) add(missedM2 float64, by []outcome) {
	t.events++
	t.missedM2 += missedM2
	for i, o := range by {
		b := &t.by[i]
		b.harvestM2, b.kg, b.money = b.harvestM2+o.harvestM2, b.kg+o.kg, b.money+o.money
		b.savedKg, b.saved = b.savedKg+o.savedKg, b.saved+o.saved
	}
}

// intervals fills in what can be reckoned.
func intervals(s *Sum, all []outcome, kg, money, saved bool) {
	s.HarvestM2 = *intervalOf(all, func(o outcome) float64 { return o.harvestM2 })
	if kg {
		s.LostKg = intervalOf(all, func(o outcome) float64 { return o.kg })
	}
	if money {
		s.Lost = intervalOf(all, func(o outcome) float64 { return o.money })
		s.Net = intervalOf(all, func(o outcome) float64 { return o.money - o.saved })
	}
	if slices.ContainsFunc(all, func(o outcome) bool { return o.savedKg > 0 }) {
		s.SavedKg = intervalOf(all, func(o outcome) float64 { return o.savedKg })
		if saved {
			s.Saved = intervalOf(all, func(o outcome) float64 { return o.saved })
		}
	}
}

func intervalOf(all []outcome, of func(outcome) float64) *Interval {
	v := make([]float64, len(all))
	for i, o := range all {
		v[i] = of(o)
	}
	return interval(v)
}

// interval is where nine draws in ten lie, and their middle.
func interval(v []float64) *Interval {
	q := func(p float64) float64 { return tidy(counts.Quantile(v, p)) }
	slices.Sort(v)
	return &Interval{q(0.05), q(0.5), q(0.95)}
}

// tidy keeps four digits, which is more than an estimate has.
func tidy(v float64) float64 { return digitsOf(v, 4) }

// digitsOf rounds to so many digits; what is no number is 0.
func digitsOf(v float64, digits int) float64 {
	if v == 0 || v-v != 0 {
		return 0
	}
	return measure.Round(v, min(12, digits-1-int(math.Floor(math.Log10(math.Abs(v))))))
}

func (e *estimator) order(a, b EventCost) int {
	return cmp.Or(e.dayOf(a.Day)-e.dayOf(b.Day), a.Event-b.Event)
}

func (e *estimator) dayOf(name string) int {
	return slices.IndexFunc(e.in.Days, func(d Day) bool { return d.Name == name })
}
