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
	ThinHelp     *Range         `json:"thin_help,omitempty"`            // part of the help to a bare row that a thin one gets, 0 to 1; absent = 0 to 1
	StarvedSaved *Range         `json:"starved_saved,omitempty"`        // part of what a starved head did not get that stayed in the tank, 0 to 1; absent = 0 to 1
	Resow        *Resow         `json:"resow,omitempty"`                // what sowing a skip again would cost; absent = not reckoned
}

// ProductTaken is what is taken of one product and its crop.
type ProductTaken struct {
	Product        drill.ProductID `json:"product" jsonschema:"required"` // id in the drill's description
	Crop           string          `json:"crop,omitempty"`                // name of the crop; absent = by the product's material
	YieldTHa       *Range          `json:"yield_t_ha,omitempty"`          // expected where nothing was missed, t/ha
	PricePerT      *Range          `json:"price_per_t,omitempty"`         // of the harvest
	SeedPricePerKg *Range          `json:"seed_price_per_kg,omitempty"`   // of the seed
	ReachM         *Range          `json:"reach_m,omitempty"`             // how far a border row uses open ground beside it, m
	Efficiency     *Range          `json:"efficiency,omitempty"`          // yield there as a part of a full stand's, 0 to 1
	PlantsM2       *Range          `json:"plants_m2,omitempty"`           // plants on a square metre of a full stand
	HalfM2         *Range          `json:"half_m2,omitempty"`             // plants on a square metre that give half of what the crop can reach
}

// Resow is what going back would cost.
type Resow struct {
	WidthM    float64 `json:"width_m,omitempty" jsonschema:"minimum=0,maximum=200"` // width of the pass that sows again, m; absent = the drill's
	WorkPerHa Range   `json:"work_per_ha" jsonschema:"required"`                    // tractor, drill and driver
	YieldPart Range   `json:"yield_part" jsonschema:"required"`                     // what is sown so late yields, as a part of the rest
}

// bounds are those of a figure.
type bounds struct {
	lo, hi float64
	over   bool // lo itself is not allowed
}

func (b bounds) hold(r Range) bool {
	return r.High <= b.hi && r.Low >= b.lo && !(b.over && r.Low == b.lo)
}

func (b bounds) String() string {
	if b.over {
		return fmt.Sprintf("over %g, at most %g", b.lo, b.hi)
	}
	return fmt.Sprintf("%g to %g", b.lo, b.hi)
}

// figure is one figure of a crop, and of what is taken of a product.
type figure struct {
	key    string
	name   string
	unit   string
	limits bounds
	of     func(*Crop) Range
	taken  func(*ProductTaken) *Range
}

// figures of a crop that has its own entry, then those that only a grower knows.
var figures = []figure{
	{"reach_m", "reach of a border row into open ground", "m", bounds{0, 2, false}, func(c *Crop) Range { return c.ReachM }, func(p *ProductTaken) *Range { return p.ReachM }},
	{"efficiency", "yield there, as a part of a full stand's", "", bounds{0, 1, false}, func(c *Crop) Range { return c.Efficiency }, func(p *ProductTaken) *Range { return p.Efficiency }},
	{"plants_m2", "plants of a full stand", "per m2", bounds{0, 3000, true}, func(c *Crop) Range { return c.PlantsM2 }, func(p *ProductTaken) *Range { return p.PlantsM2 }},
	{"half_m2", "plants that give half of what the crop can reach", "per m2", bounds{0, 3000, false}, func(c *Crop) Range { return c.HalfM2 }, func(p *ProductTaken) *Range { return p.HalfM2 }},
}

var ownFigures = []figure{
	{"yield_t_ha", "yield where nothing was missed", "t/ha", bounds{0, 300, true}, nil, func(p *ProductTaken) *Range { return p.YieldTHa }},
	{"price_per_t", "price of the harvest", "per t", bounds{0, 1e7, false}, nil, func(p *ProductTaken) *Range { return p.PricePerT }},
	{"seed_price_per_kg", "price of the seed", "per kg", bounds{0, 1e6, false}, nil, func(p *ProductTaken) *Range { return p.SeedPricePerKg }},
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
	c.limits(part, a.ThinHelp, "thin_help")
	c.limits(part, a.StarvedSaved, "starved_saved")
	if a.Resow != nil {
		c.limits(bounds{0, 1e6, false}, &a.Resow.WorkPerHa, "resow", "work_per_ha")
		c.limits(bounds{0, 1.5, false}, &a.Resow.YieldPart, "resow", "yield_part")
		c.wantCurrency(a, "resow", "work_per_ha")
	}
}

func (c assumptionsCheck) product(a *Assumptions, i int) {
	p := &a.Products[i]
	at := c.doc.At("products", i, "product")
	if p.Product != "" {
		if _, ok := c.drill.Product(p.Product); !ok {
			c.doc.Fault(at, input.DidYouMean(string(p.Product), productIDs(c.drill)), "the drill has no product %s", p.Product)
		}
		if j := slices.IndexFunc(a.Products[:i], func(q ProductTaken) bool { return q.Product == p.Product }); j >= 0 {
			c.doc.Fault(at, "keep one of them", "product %s stands twice", p.Product)
		}
	}
	for _, f := range slices.Concat(figures, ownFigures) {
		c.limits(f.limits, f.taken(p), "products", i, f.key)
	}
	if p.PricePerT != nil || p.SeedPricePerKg != nil {
		c.wantCurrency(a, "products", i)
	}
	if p.Crop == "" || p.ReachM != nil && p.Efficiency != nil && p.PlantsM2 != nil && p.HalfM2 != nil {
		return
	}
	if _, ok := c.crops.Named(p.Crop); !ok {
		c.doc.Fault(c.doc.At("products", i, "crop"), input.DidYouMean(p.Crop, c.crops.AllNames())+"; or give reach_m, efficiency, plants_m2 and half_m2 too", "nothing is known of the crop %q", p.Crop)
	}
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
