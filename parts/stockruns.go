package parts

import (
	"cmp"
	"slices"
)

// RunsFrom is the need with sensors and tubes chosen for what is on the shelf:
// where sensors of the hose's size are short, sensors of another size with
// adapters stand in as far as that leaves less to order; tubes are cut from the
// rolls on the shelf before any roll is ordered. n is not changed.
func (n Need) RunsFrom(shelf Shelf, cat Catalogue) Need {
	n.Hoses = n.sensorsFrom(shelf, cat)
	n.Rolls = rollsFrom(n.TubesM, shelf, cat)
	return n
}

// sensorsFrom gives each hose size in turn as many adapted sensors as leave the
// least to order: exact for one size that is short, one after the other where
// several are.
func (n Need) sensorsFrom(shelf Shelf, cat Catalogue) []HoseNeed {
	best := slices.Clone(n.Hoses)
	least := orderOf(best, shelf, cat)
	for i, h := range n.Hoses {
		if _, own := cat.ofHose(Sensor, h.MM); !own || h.SensorMM > 0 {
			continue
		}
		for _, mm := range cat.adaptedSizes(h.MM) {
			start := slices.Clone(best)
			for k := 1; k <= start[i].Sensors; k++ {
				try := slices.Clone(start)
				try[i].Sensors -= k
				try = append(try, HoseNeed{MM: h.MM, Sensors: k, SensorMM: mm})
				if o := orderOf(try, shelf, cat); o.less(least) {
					best, least = try, o
				}
			}
		}
	}
	return slices.DeleteFunc(best, func(h HoseNeed) bool { return h.Sensors == 0 })
}

// adaptedSizes are the other sensor sizes that one adapter joins to a hose.
func (c Catalogue) adaptedSizes(mm float64) []float64 {
	var sizes []float64
	for _, a := range c.Of(Adapter) {
		to, joins := a.joins(mm)
		if _, has := c.ofHose(Sensor, to); joins && has && to != mm && !slices.Contains(sizes, to) {
			sizes = append(sizes, to)
		}
	}
	return sizes
}

// ordered is what must be ordered: money where every price is known, else
// pieces.
type ordered struct {
	pieces int
	cost   float64
	priced bool
}

func (o ordered) less(p ordered) bool {
	if o.priced && p.priced {
		return o.cost < p.cost-1e-9
	}
	return o.pieces < p.pieces
}

// orderOf is what sensors, clamps and adapters for the hoses leave to order,
// spares among them.
func orderOf(hoses []HoseNeed, shelf Shelf, cat Catalogue) ordered {
	b := kitBuilder{cat: cat}
	b.hoses(slices.DeleteFunc(slices.Clone(hoses), func(h HoseNeed) bool { return h.Sensors == 0 }))
	b.inOrder()
	o := ordered{priced: true}
	for _, l := range b.kit.Lines {
		short := max(0, l.Pieces()-shelf.Pieces(l.Part))
		o.pieces += short
		o.cost += float64(short) * l.Price
		o.priced = o.priced && l.Price > 0
	}
	return o
}

// roll is one roll of tube and what is cut from it.
type roll struct {
	part  Part
	usedM float64
}

// rollsFrom cuts tubes, longest first, from the rolls on the shelf, longest
// first, then from rolls to be ordered; a roll of which little is used gives
// way to a shorter one. Empty where there are no tubes.
func rollsFrom(straightM []float64, shelf Shelf, cat Catalogue) []Some {
	if len(straightM) == 0 {
		return nil
	}
	stock := cat.rollsOn(shelf)
	pieces, total := cutLengths(straightM)
	var rest []float64
	for _, m := range longestFirst(pieces) {
		i := slices.IndexFunc(stock, func(r roll) bool { return r.usedM+m <= r.part.LengthM+1e-9 })
		if i < 0 {
			rest = append(rest, m)
			continue
		}
		stock[i].usedM += m
	}
	taken, idle := shorter(stock)
	taken = append(taken, cat.orderedRolls(rest)...)
	return counted(spared(taken, idle, total, cat))
}

// rollsOn are the rolls on the shelf, longest first.
func (c Catalogue) rollsOn(shelf Shelf) []roll {
	var rolls []roll
	for _, p := range c.Of(Tube) {
		for range min(shelf.Pieces(p.ID), mostRolls) {
			rolls = append(rolls, roll{part: p})
		}
	}
	slices.SortStableFunc(rolls, func(a, b roll) int { return cmp.Compare(b.part.LengthM, a.part.LengthM) })
	return rolls
}

// mostRolls bounds the rolls of one kind that are looked at: 400 tubes of the
// longest kind take fewer.
const mostRolls = 400

// shorter parts rolls in use from idle ones; each in use gives way to the
// shortest idle one that holds what is cut from it.
func shorter(rolls []roll) (taken, idle []roll) {
	for _, r := range rolls {
		if r.usedM > 0 {
			taken = append(taken, r)
		} else {
			idle = append(idle, r)
		}
	}
	for i := len(taken) - 1; i >= 0; i-- {
		for k := len(idle) - 1; k >= 0; k-- {
			if idle[k].part.LengthM < taken[i].part.LengthM && idle[k].part.LengthM+1e-9 >= taken[i].usedM {
				taken[i].part, idle[k].part = idle[k].part, taken[i].part
				break
			}
		}
		slices.SortStableFunc(idle, func(a, b roll) int { return cmp.Compare(b.part.LengthM, a.part.LengthM) })
	}
	return taken, idle
}

// orderedRolls are rolls for the tubes that the shelf has none for.
func (c Catalogue) orderedRolls(pieces []float64) []roll {
	longest := 0.0
	for _, p := range c.Of(Tube) {
		longest = max(longest, p.LengthM)
	}
	var rolls []roll
	used, _ := packRolls(pieces, longest)
	for _, m := range used {
		if p, ok := c.Stock(Tube, m); ok {
			rolls = append(rolls, roll{p, m})
		}
	}
	return rolls
}

// spared adds one roll where too little would be left over: the shortest idle
// one that does, else one to order.
func spared(taken, idle []roll, totalM float64, cat Catalogue) []roll {
	lacking := (1 + spareTubeShare) * totalM
	for _, r := range taken {
		lacking -= r.part.LengthM
	}
	if lacking <= 1e-9 {
		return taken
	}
	for k := len(idle) - 1; k >= 0; k-- {
		if idle[k].part.LengthM >= lacking {
			return append(taken, idle[k])
		}
	}
	if p, ok := cat.Stock(Tube, lacking); ok {
		taken = append(taken, roll{part: p})
	}
	return taken
}

// counted are the rolls by part, in the order of their first.
func counted(rolls []roll) []Some {
	out := []Some{}
	for _, r := range rolls {
		i := slices.IndexFunc(out, func(s Some) bool { return s.Part == r.part.ID })
		if i < 0 {
			out, i = append(out, Some{Part: r.part.ID}), len(out)
		}
		out[i].Pieces++
	}
	return out
}

// LegsFrom is the need with the legs made of what is on the shelf, where that
// leaves less to order than the pieces planned; else the need as it is. n is
// not changed.
func (n Need) LegsFrom(shelf Shelf, cat Catalogue) (Need, ShelfPlan) {
	plan := CoverFromShelf(n.Legs, shelf, cat)
	if planned := legOrder(n.Legs, shelf, cat); !plan.order().less(planned) {
		plan.keep(n.Legs, cat)
		plan.Order, plan.OrderCost = planned.pieces, 0
		if planned.priced {
			plan.OrderCost = planned.cost
		}
		return n, plan
	}
	n.Legs = slices.Clone(n.Legs)
	for i, c := range plan.Legs {
		if len(c.Pieces) > 0 {
			n.Legs[i].Pieces = c.Pieces
		}
	}
	return n, plan
}

func (p ShelfPlan) order() ordered { return ordered{p.Order, p.OrderCost, p.Least == LeastCost} }

// legOrder is what legs of the planned pieces leave to order.
func legOrder(legs []LegNeed, shelf Shelf, cat Catalogue) ordered {
	b := kitBuilder{cat: cat}
	b.legs(legs)
	o := ordered{priced: true}
	for _, p := range cat.Of(Leg) {
		o.priced = o.priced && p.Price > 0
	}
	for _, l := range b.kit.Lines {
		short := max(0, l.Pieces()-shelf.Pieces(l.Part))
		o.pieces += short
		o.cost += float64(short) * l.Price
	}
	return o
}

// keep makes the plan that of the pieces planned.
func (p *ShelfPlan) keep(legs []LegNeed, cat Catalogue) {
	p.SurplusM, p.Joints = 0, 0
	p.Bound = "the pieces planned leave as little to order as any found: " + p.Bound
	for i, l := range legs {
		c := LegCover{ID: l.ID, Pieces: l.Pieces}
		for _, id := range l.Pieces {
			part, _ := cat.Part(id)
			c.LengthM += part.LengthM
			if c.AreaMM2 == 0 || part.AreaMM2 < c.AreaMM2 {
				c.AreaMM2 = part.AreaMM2
			}
		}
		p.SurplusM += c.LengthM - l.NeedM
		p.Joints += max(0, len(l.Pieces)-1)
		p.Legs[i] = c
	}
}

// Changed are the ids of the legs that are made of other pieces than planned.
func (p ShelfPlan) Changed() []string {
	var ids []string
	for _, l := range p.Legs {
		if l.Changed {
			ids = append(ids, l.ID)
		}
	}
	return ids
}
