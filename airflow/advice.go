package airflow

import (
	"fmt"
	"math"
	"strconv"

	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
)

// advice is what to do in plain words, most pressing first, and what to know,
// in the units that the drill's description asks for.
func (p *planner) advice() []fit.AirAdvice {
	list := []fit.AirAdvice{}
	add := func(heads []drill.HeadID, do, why string, args ...any) {
		if len(heads) > 0 {
			list = append(list, fit.AirAdvice{Heads: heads, Do: do, Why: fmt.Sprintf(why, args...)})
		}
	}
	p.fanUp(add)
	p.measureAir(add)
	p.unlikeHoses(add)
	p.blocked(add)
	p.overlap(add)
	p.onTheWay(add)
	return list
}

// in is a figure in the display's unit, without it: so many decimals in metric
// units, the unit's own in others.
func (p *planner) in(q measure.Quantity, base float64, decimals int) string {
	if u := p.d.Display.Unit(q); p.d.Display != measure.Metric {
		return u.Number(base)
	}
	return strconv.FormatFloat(p.d.Display.Unit(q).Value(base), 'f', decimals, 64)
}

// say is the same with the unit.
func (p *planner) say(q measure.Quantity, base float64, decimals int) string {
	return p.in(q, base, decimals) + " " + p.d.Display.Unit(q).Symbol()
}

// worst is the head among those for which it holds with the highest figure, and
// all of them.
func (p *planner) worst(holds func(fit.HeadAir) bool, figure func(fit.HeadAir) float64) (fit.HeadAir, []drill.HeadID) {
	var worst fit.HeadAir
	var ids []drill.HeadID
	for _, h := range p.air.Heads {
		if !holds(h) {
			continue
		}
		if len(ids) == 0 || figure(h) > figure(worst) {
			worst = h
		}
		ids = append(ids, h.Head)
	}
	return worst, ids
}

// fanUp is for heads whose air was measured and is little, by product.
func (p *planner) fanUp(add func([]drill.HeadID, string, string, ...any)) {
	lacks := func(h fit.HeadAir) float64 { return h.Primary.NeedMPS.Likely - judged(h.Primary) }
	for _, prod := range p.d.Products {
		h, ids := p.worst(func(h fit.HeadAir) bool {
			return h.Product == prod.ID && h.Primary.NeedMPS.Known() && lacks(h) > 0
		}, lacks)
		if len(ids) == 0 {
			continue
		}
		l := h.Primary
		air := func(mps float64) string { return p.in(measure.AirSpeed, mps, 1) }
		do := fmt.Sprintf("fan up: %s in the primary line, now %s", p.say(measure.AirSpeed, math.Ceil(l.NeedMPS.Likely), 0), air(l.AirMPS))
		if rate, ok := p.rateFor(h, l.AirMPS); ok {
			do += fmt.Sprintf("; or rate down to %s at %s of travel", p.say(measure.Rate, rate, 0), p.d.Display.Format(measure.Speed, p.d.Work.SpeedMPS))
		}
		add(ids, do, "product settles below %s to %s by five correlations; %s is the least one would drive with, %s what one wishes (head %s)",
			air(l.SaltationMPS.Low), p.say(measure.AirSpeed, l.SaltationMPS.High, 1), air(l.NeedMPS.Low), air(l.NeedMPS.Likely), h.Head)
	}
}

// unlikeHoses is for heads whose hoses differ much in length.
func (p *planner) unlikeHoses(add func([]drill.HeadID, string, string, ...any)) {
	h, ids := p.worst(func(h fit.HeadAir) bool { return h.Division.Spread.Likely > spreadWished }, func(h fit.HeadAir) float64 { return h.Division.Spread.Likely })
	s := h.Division.Spread
	add(ids, "hose too long: bring the hoses of a head nearer to one length",
		"on head %s %s is the longest and %s the shortest; by length alone their air differs by %.0f to %.0f %% of the mean. Product follows air only in part: weigh bags before and after",
		h.Head, h.Division.Longest, h.Division.Shortest, 100*s.Low, 100*s.High)
}

// rateFor is the highest rate at which the line's air would be what one wishes,
// and whether a lower rate helps: what a riser wants does not fall with rate.
func (p *planner) rateFor(h fit.HeadAir, airMPS float64) (kgHa float64, ok bool) {
	prod, _ := p.d.Product(h.Product)
	if airMPS < h.Particle.FallMPS.Likely+riserAboveMPS && h.Primary.RiserM > 0 {
		return 0, false
	}
	lo, hi := 0.0, prod.RateKgHa
	for range 60 {
		mid := (lo + hi) / 2
		l := h.Primary
		l.By = nil
		need(&l, Stream{h.GramsPerS / 1000 * mid / prod.RateKgHa, l.BoreM, p.gas}, h.Particle)
		if l.NeedMPS.Likely <= airMPS {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Floor(lo), lo >= 1
}

// measureAir is for heads whose air is not known: what it must be at least.
func (p *planner) measureAir(add func([]drill.HeadID, string, string, ...any)) {
	byProduct := make(map[drill.ProductID]fit.HeadAir)
	for _, h := range p.air.Heads {
		if !h.Primary.NeedMPS.Known() || !math.IsNaN(judged(h.Primary)) {
			continue
		}
		if worst, ok := byProduct[h.Product]; !ok || h.Primary.NeedMPS.Likely > worst.Primary.NeedMPS.Likely {
			byProduct[h.Product] = h
		}
	}
	for _, prod := range p.d.Products {
		h, ok := byProduct[prod.ID]
		if !ok {
			continue
		}
		assumed := ""
		if h.Primary.Assumed {
			assumed = fmt.Sprintf(", if its bore is %s (assumed)", p.say(measure.Bore, h.Primary.BoreM, 0))
		}
		n := h.Primary.NeedMPS
		air := func(mps float64) string { return p.in(measure.AirSpeed, mps, 1) }
		add(p.headsWhere(func(x fit.HeadAir) bool { return x.Product == prod.ID }),
			fmt.Sprintf("measure the air, no product flowing: at least %s in the primary lines of %s%s", p.say(measure.AirSpeed, math.Ceil(n.Likely), 0), prod.ID, assumed),
			"%s to %s, by correlation and seed; product settles below %s to %s", air(n.Low), p.say(measure.AirSpeed, n.High, 1), air(h.Primary.SaltationMPS.Low), air(h.Primary.SaltationMPS.High))
	}
}

// blocked says what one blocked run does to its siblings, on the head where it
// does most.
func (p *planner) blocked(add func([]drill.HeadID, string, string, ...any)) {
	h, ids := p.worst(func(h fit.HeadAir) bool { return h.Blocked.Product > 1 }, func(h fit.HeadAir) float64 { return h.Blocked.Product })
	if len(ids) == 0 {
		return
	}
	air := ""
	if a := h.Blocked.Air; a.Known() {
		air = fmt.Sprintf(", and %.0f %% more air (0 to %.0f)", 100*(a.Likely-1), 100*(a.High-1))
	}
	add([]drill.HeadID{h.Head}, fmt.Sprintf("know: one blocked run of head %s gives each of the other %d open runs %.1f %% more product%s", h.Head, h.Open-1, 100*(h.Blocked.Product-1), air),
		"the meter goes on and the head divides the rest: n/(n-1); check the raised rate against what the seed bears, most of all with fertiliser")
}

// overlap says how far a counter falls short where particles come thick.
func (p *planner) overlap(add func([]drill.HeadID, string, string, ...any)) {
	const noticed = 0.05
	missed := func(h fit.HeadAir) float64 { return h.Counter.Missed.Likely }
	h, ids := p.worst(func(h fit.HeadAir) bool { return missed(h) > noticed }, missed)
	c := h.Counter
	add(ids, fmt.Sprintf("know: at this rate a counter may miss about %.0f %% of the particles; a loss of half the flow shows as %.0f %%", 100*c.Missed.Likely, 100*c.HalfSeen.Likely),
		"on head %s %.0f to %.0f %% missed, if a window of %s (assumed) is taken up by one particle for %.1f to %.1f ms; sensors that tell particles apart otherwise miss less",
		h.Head, 100*c.Missed.Low, 100*c.Missed.High, p.say(measure.Bore, c.WindowM, 0), 1000*c.DeadS.Low, 1000*c.DeadS.High)
}

// onTheWay says how long product travels to the farthest row.
func (p *planner) onTheWay(add func([]drill.HeadID, string, string, ...any)) {
	h, ids := p.worst(func(h fit.HeadAir) bool { return h.ToRow.Seconds.Known() }, func(h fit.HeadAir) float64 { return h.ToRow.Seconds.Likely })
	if len(ids) == 0 {
		return
	}
	add([]drill.HeadID{h.Head}, fmt.Sprintf("know: product of head %s reaches its farthest row %.1f s (%s of travel) after the meter", h.Head, h.ToRow.Seconds.Likely, p.say(measure.Length, h.ToRow.Metres.Likely, 1)),
		"%.1f to %.1f s in the air; lines run clear over some seconds more: recorded section commands tell the whole lag", h.ToRow.Seconds.Low, h.ToRow.Seconds.High)
}
