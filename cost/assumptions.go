package cost

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"runproof/drill"
	"runproof/input"
	"runproof/input/yamldoc"
	"runproof/measure"
)

// AssumptionsVersion is the document version of an assumptions file.
const AssumptionsVersion = "assumptions/1"

// Assumptions are what a grower knows or takes: crop, yield, prices. What is
// absent is taken from the crop's entry, or is not estimated. The zero
// Assumptions have everything absent.
type Assumptions struct {
	Runproof     string         `json:"runproof" jsonschema:"required"` // AssumptionsVersion
	Currency     string         `json:"currency,omitempty"`             // as written behind amounts: EUR, $
	Products     []ProductTaken `json:"products,omitempty"`             // of products that carry seed
	StripPart    *Range         `json:"strip_part,omitempty"`           // ground short as a part of what the review reckoned, 0.5 to 2; absent = 0.97 to 1.03
	ThinHelp     *Range         `json:"thin_help,omitempty"`            // part of the help to a bare row that a thin one gets, 0 to 1; absent = 0 to 1
	StarvedSaved *Range         `json:"starved_saved,omitempty"`        // part of what a starved head did not get that stayed in the tank, 0 to 1; absent = 0 to 1
	Resow        *Resow         `json:"resow,omitempty"`                // what sowing a skip again would cost; absent = not reckoned
}

// ProductTaken is what is taken of one product and its crop. A figure is
// written in one of its two units.
type ProductTaken struct {
	Product        drill.ProductID `json:"product" jsonschema:"required"`                          // id in the drill's description
	Crop           string          `json:"crop,omitempty"`                                         // name of the crop; absent = by the product's material
	YieldTHa       *Range          `json:"yield_t_ha,omitempty"`                                   // expected where nothing was missed, t/ha
	YieldBuAc      *Range          `json:"yield_bu_ac,omitempty"`                                  // the same in bushels an acre
	PricePerT      *Range          `json:"price_per_t,omitempty"`                                  // of the harvest
	PricePerBu     *Range          `json:"price_per_bu,omitempty"`                                 // the same for a bushel
	BushelLb       float64         `json:"bushel_lb,omitempty" jsonschema:"minimum=0,maximum=100"` // weight of a bushel, lb; absent = the crop's customary one
	SeedPricePerKg *Range          `json:"seed_price_per_kg,omitempty"`                            // of the seed
	SeedPricePerLb *Range          `json:"seed_price_per_lb,omitempty"`                            // the same for a pound
	ReachM         *Range          `json:"reach_m,omitempty"`                                      // how far a border row uses open ground beside it, m
	ReachIn        *Range          `json:"reach_in,omitempty"`                                     // the same in inches
	Efficiency     *Range          `json:"efficiency,omitempty"`                                   // yield there as a part of a full stand's, 0 to 1
	PlantsM2       *Range          `json:"plants_m2,omitempty"`                                    // plants on a square metre of a full stand
	PlantsFt2      *Range          `json:"plants_ft2,omitempty"`                                   // the same on a square foot
	HalfM2         *Range          `json:"half_m2,omitempty"`                                      // plants on a square metre that give half of what the crop can reach
	HalfFt2        *Range          `json:"half_ft2,omitempty"`                                     // the same on a square foot
}

// Resow is what going back would cost. Width and work are written in one of
// their two units.
type Resow struct {
	WidthM    float64 `json:"width_m,omitempty" jsonschema:"minimum=0,maximum=200"`  // width of the pass that sows again, m; absent = the drill's
	WidthFt   float64 `json:"width_ft,omitempty" jsonschema:"minimum=0,maximum=650"` // the same in feet
	WorkPerHa *Range  `json:"work_per_ha,omitempty"`                                 // tractor, drill and driver
	WorkPerAc *Range  `json:"work_per_ac,omitempty"`                                 // the same for an acre
	YieldPart Range   `json:"yield_part" jsonschema:"required"`                      // what is sown so late yields, as a part of the rest
}

func (r *Resow) widthM() float64 { return r.WidthM + measure.Foot.Base(r.WidthFt) }

func (r *Resow) workPerHa() Range {
	switch {
	case r.WorkPerHa != nil:
		return *r.WorkPerHa
	case r.WorkPerAc != nil:
		return r.WorkPerAc.times(measure.Hectare.Base(1) / measure.Acre.Base(1))
	}
	return Range{}
}

// bounds are those of a figure.
type bounds struct {
	lo, hi float64
	over   bool // lo itself is not allowed
}

func (b bounds) hold(r Range) bool {
	return r.High <= b.hi && r.Low >= b.lo && !(b.over && r.Low == b.lo)
}

func (b bounds) times(v float64) bounds { return bounds{b.lo * v, b.hi * v, b.over} }

func (b bounds) String() string {
	if b.over {
		return fmt.Sprintf("over %.6g, at most %.6g", b.lo, b.hi)
	}
	return fmt.Sprintf("%.6g to %.6g", b.lo, b.hi)
}

var part = bounds{0, 1, false}

// ReadAssumptions reads an assumptions file for a drill; name is the file's
// name for messages. The error is input.Faults with every fault of it, or what
// r returned.
func ReadAssumptions(r io.Reader, name string, d *drill.Drill) (Assumptions, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Assumptions{}, err
	}
	if err := doc.WantVersion(AssumptionsVersion); err != nil {
		return Assumptions{}, err
	}
	var a Assumptions
	doc.Decode(&a)
	c := assumptionsCheck{doc, d, BuiltInCrops()}
	c.whole(&a)
	for i := range a.Products {
		c.product(&a, i)
	}
	return a, doc.Err()
}

type assumptionsCheck struct {
	doc   *yamldoc.Document
	drill *drill.Drill
	crops Crops
}

func (c assumptionsCheck) whole(a *Assumptions) {
	if fault := currencyFault(a.Currency); fault != "" {
		c.doc.Fault(c.doc.At("currency"), "write a short sign or code: EUR, $", "%s", fault)
	}
	c.limits(bounds{0.5, 2, false}, a.StripPart, "strip_part")
	c.limits(part, a.ThinHelp, "thin_help")
	c.limits(part, a.StarvedSaved, "starved_saved")
	if a.Resow != nil {
		c.resow(a)
	}
}

func (c assumptionsCheck) resow(a *Assumptions) {
	r := a.Resow
	c.limits(bounds{0, 1e6, false}, r.WorkPerHa, "resow", "work_per_ha")
	c.limits(bounds{0, 1e6, false}, r.WorkPerAc, "resow", "work_per_ac")
	c.limits(bounds{0, 1.5, false}, &r.YieldPart, "resow", "yield_part")
	c.either("width_m", "width_ft", "resow")
	if !c.either("work_per_ha", "work_per_ac", "resow") && c.doc.Sound("resow") {
		c.doc.Fault(c.doc.At("resow"), "write work_per_ha, or work_per_ac: what tractor, drill and driver cost", "resow does not say what the work costs")
	}
	c.wantCurrency(a, "resow")
}

func (c assumptionsCheck) product(a *Assumptions, i int) {
	p := &a.Products[i]
	at := c.doc.At("products", i, "product")
	seed, ok := c.drill.Product(p.Product)
	if p.Product != "" {
		if !ok {
			c.doc.Fault(at, input.DidYouMean(string(p.Product), productIDs(c.drill)), "the drill has no product %s", p.Product)
		}
		if j := slices.IndexFunc(a.Products[:i], func(q ProductTaken) bool { return q.Product == p.Product }); j >= 0 {
			c.doc.Fault(at, "keep one of them", "product %s stands twice", p.Product)
		}
	}
	crop, _ := cropOf(seed, p, c.crops)
	own := 0
	for k, f := range slices.Concat(figures, ownFigures) {
		if c.figure(f, p, bushelKg(p, crop), i) && k < len(figures) {
			own++
		}
	}
	if slices.ContainsFunc([]*Range{p.PricePerT, p.PricePerBu, p.SeedPricePerKg, p.SeedPricePerLb}, func(r *Range) bool { return r != nil }) {
		c.wantCurrency(a, "products", i)
	}
	if p.Crop == "" || own == len(figures) {
		return
	}
	if _, ok := c.crops.Named(p.Crop); !ok {
		c.doc.Fault(c.doc.At("products", i, "crop"), input.DidYouMean(p.Crop, c.crops.AllNames())+"; or give reach_m, efficiency, plants_m2 and half_m2 too", "nothing is known of the crop %q", p.Crop)
	}
}

// figure checks a figure of product i in either unit, and says whether it is
// there.
func (c assumptionsCheck) figure(f figure, p *ProductTaken, bushelKg float64, i int) bool {
	c.limits(f.limits, f.taken(p), "products", i, f.key)
	if f.us.key == "" {
		return f.taken(p) != nil
	}
	if r := f.us.taken(p); r != nil && f.taken(p) == nil {
		switch one := f.us.si(bushelKg); {
		case one == 0:
			c.doc.Fault(c.doc.At("products", i, f.us.key), "write bushel_lb: its pounds, or "+f.key, "the weight of a bushel of product %s is not known", p.Product)
		default:
			c.limits(f.limits.times(1/one), r, "products", i, f.us.key)
		}
	}
	return c.either(f.key, f.us.key, "products", i)
}

// either says whether one of two keys is there; not both may be.
func (c assumptionsCheck) either(key, other string, path ...any) bool {
	a, b := c.doc.Has(slices.Concat(path, []any{key})...), c.doc.Has(slices.Concat(path, []any{other})...)
	if a && b {
		c.doc.Fault(c.doc.At(slices.Concat(path, []any{other})...), "keep one of them", "%s and %s are the same figure", key, other)
	}
	return a || b
}

func (c assumptionsCheck) limits(b bounds, r *Range, path ...any) {
	if r != nil {
		checkLimits(c.doc, b, *r, path...)
	}
}

func checkLimits(doc *yamldoc.Document, b bounds, r Range, path ...any) {
	if doc.Has(path...) && doc.Sound(path...) && !b.hold(r) {
		doc.Fault(doc.At(path...), "", "%v is %s; it must be %s", path[len(path)-1], r, b)
	}
}

func (c assumptionsCheck) wantCurrency(a *Assumptions, path ...any) {
	if a.Currency == "" && c.doc.Has(path...) {
		c.doc.Fault(c.doc.At(path...), "write currency: EUR, or yours, on a line of its own", "there are prices, but no currency")
	}
}

func currencyFault(s string) string {
	if len([]rune(s)) > 8 {
		return fmt.Sprintf("currency %.20q is longer than 8 characters", s)
	}
	for _, r := range s {
		if !unicode.IsPrint(r) || unicode.IsDigit(r) || strings.ContainsRune("+-.,%", r) {
			return fmt.Sprintf("currency %q holds %q", s, r)
		}
	}
	return ""
}

func productIDs(d *drill.Drill) []string {
	ids := make([]string, len(d.Products))
	for i, p := range d.Products {
		ids[i] = string(p.ID)
	}
	return ids
}
