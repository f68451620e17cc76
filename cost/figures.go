package cost

import (
	"runproof/measure"
)

// figure is one figure of a crop, and of what is taken of a product.
type figure struct {
	key    string
	name   string
	unit   string
	limits bounds
	of     func(*Crop) Range // nil = only the grower knows
	taken  func(*ProductTaken) *Range
	us     usForm
}

// usForm is the same figure in United States units; key is empty where it has
// none of its own.
type usForm struct {
	key   string
	unit  string
	taken func(*ProductTaken) *Range
	si    func(bushelKg float64) float64 // one of these in the figure's own unit; 0 = cannot be told
}

// figures are those of a crop that has its own entry.
var figures = []figure{
	{
		"reach_m", "reach of a border row into open ground", "m",
		bounds{0, 2, false},
		func(c *Crop) Range { return c.ReachM }, func(p *ProductTaken) *Range { return p.ReachM },
		usForm{"reach_in", "in", func(p *ProductTaken) *Range { return p.ReachIn }, fixedly(measure.Inch.Base(1))},
	},
	{
		"efficiency", "yield there, as a part of a full stand's", "",
		bounds{0, 1, false},
		func(c *Crop) Range { return c.Efficiency }, func(p *ProductTaken) *Range { return p.Efficiency },
		usForm{},
	},
	{
		"plants_m2", "plants of a full stand", "per m²",
		bounds{0, 3000, true},
		func(c *Crop) Range { return c.PlantsM2 }, func(p *ProductTaken) *Range { return p.PlantsM2 },
		usForm{"plants_ft2", "per ft²", func(p *ProductTaken) *Range { return p.PlantsFt2 }, fixedly(measure.PerSquareFoot.Base(1))},
	},
	{
		"half_m2", "plants that give half of what the crop can reach", "per m²",
		bounds{0, 3000, false},
		func(c *Crop) Range { return c.HalfM2 }, func(p *ProductTaken) *Range { return p.HalfM2 },
		usForm{"half_ft2", "per ft²", func(p *ProductTaken) *Range { return p.HalfFt2 }, fixedly(measure.PerSquareFoot.Base(1))},
	},
}

// ownFigures are those that only a grower knows.
var ownFigures = []figure{
	{
		"yield_t_ha", "yield where nothing was missed", "t/ha",
		bounds{0, 300, true},
		nil, func(p *ProductTaken) *Range { return p.YieldTHa },
		usForm{"yield_bu_ac", "bu/ac", func(p *ProductTaken) *Range { return p.YieldBuAc }, func(bushelKg float64) float64 {
			return bushelKg / 1000 * measure.Hectare.Base(1) / measure.Acre.Base(1)
		}},
	},
	{
		"price_per_t", "price of the harvest", "per t",
		bounds{0, 1e7, false},
		nil, func(p *ProductTaken) *Range { return p.PricePerT },
		usForm{"price_per_bu", "per bu", func(p *ProductTaken) *Range { return p.PricePerBu }, func(bushelKg float64) float64 {
			if bushelKg == 0 {
				return 0
			}
			return 1000 / bushelKg
		}},
	},
	{
		"seed_price_per_kg", "price of the seed", "per kg",
		bounds{0, 1e6, false},
		nil, func(p *ProductTaken) *Range { return p.SeedPricePerKg },
		usForm{"seed_price_per_lb", "per lb", func(p *ProductTaken) *Range { return p.SeedPricePerLb }, fixedly(1 / measure.Pound.Base(1))},
	},
}

func fixedly(v float64) func(float64) float64 { return func(float64) float64 { return v } }

// bushelKg is the weight of a bushel of the crop, kg: the grower's own, or the
// crop's customary one; 0 where neither is known.
func bushelKg(t *ProductTaken, c Crop) float64 {
	if t != nil && t.BushelLb > 0 {
		return measure.Pound.Base(t.BushelLb)
	}
	return measure.Pound.Base(c.BushelLb)
}

// own is what is taken of the figure, in its own unit; nil where nothing is.
func (f figure) own(t *ProductTaken, bushelKg float64) *Range {
	if t == nil {
		return nil
	}
	if r := f.taken(t); r != nil {
		return r
	}
	if f.us.key == "" || f.us.taken(t) == nil {
		return nil
	}
	one := f.us.si(bushelKg)
	if one == 0 {
		return nil
	}
	r := f.us.taken(t).times(one)
	return &r
}

// inBushels says whether something is taken by the bushel.
func (t *ProductTaken) inBushels() bool {
	return t != nil && (t.YieldBuAc != nil || t.PricePerBu != nil)
}

// Shown is the assumption as a reader of the system has it: its key in an
// assumptions file, its range and unit.
func (a Assumption) Shown(sys measure.System, bushelKg float64) (key string, r Range, unit string) {
	key, r, unit = a.Key, a.Range, a.Unit
	if sys != measure.US {
		return key, r, unit
	}
	for _, f := range append(figures[:len(figures):len(figures)], ownFigures...) {
		if f.key != a.Key || f.us.key == "" {
			continue
		}
		if one := f.us.si(bushelKg); one != 0 {
			return f.us.key, a.rounded(1 / one), f.us.unit
		}
	}
	if a.Key == "work_per_ha" {
		return "work_per_ac", a.rounded(measure.Acre.Base(1) / measure.Hectare.Base(1)), "per ac"
	}
	return key, r, unit
}

// rounded is the range in another unit: to what the grower wrote, or to three
// digits.
func (a Assumption) rounded(by float64) Range {
	digits := 3
	if a.Mark == Yours {
		digits = 9
	}
	r := a.Range.times(by)
	return Range{digitsOf(r.Low, digits), digitsOf(r.Likely, digits), digitsOf(r.High, digits)}
}
