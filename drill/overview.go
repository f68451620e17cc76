package drill

import (
	"math"

	"runproof/check"
)

// Overview is a drill at a glance: what was described, in numbers that the
// person can compare with the machine, and what Check says of it.
type Overview struct {
	Name     string            `json:"name"`
	Rows     int               `json:"rows"`
	SpacingM float64           `json:"spacing_m"`
	WidthM   float64           `json:"width_m"`
	Ranks    int               `json:"ranks"`
	Runs     int               `json:"runs"`
	Sensed   int               `json:"sensed"` // runs of sensed products
	Closed   int               `json:"closed"` // runs shut on purpose
	Cart     CartPosition      `json:"cart"`
	Products []ProductOverview `json:"products"`
	Heads    []HeadOverview    `json:"heads"` // front rank first, left to right
	Sections []SectionOverview `json:"sections,omitempty"`
	Findings check.Results     `json:"findings"`
}

// ProductOverview is one product at a glance. The flows are those of each open
// run at the usual speed; nil where rate or particle mass is not said.
type ProductOverview struct {
	ID            ProductID `json:"id"`
	Material      string    `json:"material,omitempty"`
	Heads         int       `json:"heads"`
	Runs          int       `json:"runs"`
	Sensed        bool      `json:"sensed"`
	GramsPerS     *float64  `json:"grams_per_s"`
	ParticlesPerS *float64  `json:"particles_per_s"`
}

// HeadOverview is one head at a glance.
type HeadOverview struct {
	ID      HeadID    `json:"id"`
	Product ProductID `json:"product"`
	Outlets int       `json:"outlets"`
	Rows    RowList   `json:"rows"`
	At      Point     `json:"at_m"`
	ReachM  float64   `json:"reach_m"`          // straight distance to its farthest opener
	HoseM   float64   `json:"hose_m,omitempty"` // 0 = not said
}

// SectionOverview is one section at a glance.
type SectionOverview struct {
	ID     SectionID `json:"id"`
	Runs   int       `json:"runs"`
	WidthM float64   `json:"width_m"`
}

// Overview looks the drill over.
func (d *Drill) Overview() Overview {
	o := Overview{
		Name: d.Name, Rows: d.Rows.Count, SpacingM: d.Rows.SpacingM, WidthM: d.WidthM(),
		Ranks: len(d.Rows.RanksM), Cart: d.Cart.Position, Findings: Check(d),
	}
	for _, r := range d.Runs() {
		o.Runs++
		if r.Sensed {
			o.Sensed++
		}
		if r.Closed {
			o.Closed++
		}
	}
	for _, p := range d.Products {
		o.Products = append(o.Products, d.productOverview(p))
	}
	for _, id := range HeadOrder(d) {
		h, _ := d.Head(id)
		_, reach := d.FarthestRow(h)
		o.Heads = append(o.Heads, HeadOverview{
			ID: id, Product: h.Product, Outlets: len(h.Rows), Rows: h.Rows, At: h.At, ReachM: reach, HoseM: h.HoseM,
		})
	}
	for _, s := range d.Sections {
		o.Sections = append(o.Sections, SectionOverview{s.ID, len(d.SectionRuns(s)), d.SectionWidthM(s)})
	}
	return o
}

func (d *Drill) productOverview(p Product) ProductOverview {
	o := ProductOverview{
		ID: p.ID, Material: p.Material,
		GramsPerS: known(d.RunGramsPerS(p.ID)), ParticlesPerS: known(d.RunParticlesPerS(p.ID)),
	}
	for _, h := range d.Heads {
		if h.Product == p.ID {
			o.Heads++
			o.Runs += len(h.Rows)
		}
	}
	for _, id := range d.Sensing.Products {
		o.Sensed = o.Sensed || id == p.ID
	}
	return o
}

func known(v float64) *float64 {
	if math.IsNaN(v) {
		return nil
	}
	return &v
}
