package cost

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runproof/drill"
	"runproof/measure"
)

// stand is a product that carries seed, and what is taken of it.
type stand struct {
	product drill.Product
	crop    string // empty where not known
	index   int    // in drill.Products: the stream of its draws
	known   bool   // whether the crop's figures are known

	bushelKg float64 // weight of a bushel; 0 = not known
	taken    []Assumption
}

// stands are the drill's products that carry seed. What is neither taken to be
// a crop, nor named after one, nor called seed, is fertiliser or the like.
func stands(d *drill.Drill, a *Assumptions, crops Crops) []stand {
	var out []stand
	for i, p := range d.Products {
		t := takenOf(a, p.ID)
		s := stand{product: p, index: i}
		c, ok := cropOf(p, t, crops)
		s.crop = c.Name
		if !ok && (t == nil || t.Crop == "") && !strings.Contains(plainWords(string(p.ID)+" "+p.Material), " seed ") {
			continue
		}
		s.take(c, ok, t)
		out = append(out, s)
	}
	return out
}

func takenOf(a *Assumptions, id drill.ProductID) *ProductTaken {
	i := slices.IndexFunc(a.Products, func(t ProductTaken) bool { return t.Product == id })
	if i < 0 {
		return nil
	}
	return &a.Products[i]
}

// cropOf is the crop's entry; a crop of the grower's own has a name and no
// entry.
func cropOf(p drill.Product, t *ProductTaken, crops Crops) (Crop, bool) {
	if t != nil && t.Crop != "" {
		if c, ok := crops.Named(t.Crop); ok {
			return c, true
		}
		return Crop{Name: t.Crop}, false
	}
	return crops.Named(p.Material)
}

// take gathers the assumptions of the stand: the grower's before the crop's.
func (s *stand) take(c Crop, entry bool, t *ProductTaken) {
	s.known, s.bushelKg = true, bushelKg(t, c)
	for _, f := range figures {
		a := Assumption{Product: s.product.ID, Key: f.key, Name: f.name, Unit: f.unit}
		switch own := f.own(t, s.bushelKg); {
		case own != nil:
			a.Range, a.Mark = *own, Yours
		case entry:
			src := c.source(f.key)
			a.Range, a.Mark, a.Source = f.of(&c), src.Mark, src.Source
		default:
			s.known = false
			continue
		}
		s.taken = append(s.taken, a)
	}
	for _, f := range ownFigures {
		if own := f.own(t, s.bushelKg); own != nil {
			s.taken = append(s.taken, Assumption{Product: s.product.ID, Key: f.key, Name: f.name, Unit: f.unit, Range: *own, Mark: Yours})
		}
	}
	if t.inBushels() && s.bushelKg > 0 {
		a := Assumption{Product: s.product.ID, Key: "bushel_lb", Name: "weight of a bushel", Unit: "lb", Range: just(measure.Round(measure.Pound.Value(s.bushelKg), 4)), Mark: Yours}
		if t.BushelLb == 0 {
			a.Mark, a.Source = Practice, "customary weight of a bushel of the crop"
		}
		s.taken = append(s.taken, a)
	}
}

func (s *stand) has(key string) bool {
	return slices.ContainsFunc(s.taken, func(a Assumption) bool { return a.Key == key })
}

// pitch is how many rows of the drill lie from one row of the stand to the
// next: the middle of all distances, 1 where there is only one row.
func pitch(d *drill.Drill, sts []stand) int {
	var rows []int
	for _, r := range d.Runs() {
		if slices.ContainsFunc(sts, func(s stand) bool { return s.product.ID == r.Product }) {
			rows = append(rows, r.Row)
		}
	}
	slices.Sort(rows)
	rows = slices.Compact(rows)
	if len(rows) < 2 {
		return 1
	}
	gaps := make([]int, len(rows)-1)
	for i := range gaps {
		gaps[i] = rows[i+1] - rows[i]
	}
	slices.Sort(gaps)
	return gaps[(len(gaps)-1)/2]
}

// weight is the part of the seed on the rows that the product is, by the rates
// of all products that carry seed to them; alike where a rate is not said.
func weight(d *drill.Drill, sts []stand, id drill.ProductID, rows []int) float64 {
	on := map[int]map[drill.ProductID]bool{}
	for _, r := range d.Runs() {
		if on[r.Row] == nil {
			on[r.Row] = map[drill.ProductID]bool{}
		}
		on[r.Row][r.Product] = true
	}
	sum := 0.0
	for _, row := range rows {
		mine, all, alike, n := 0.0, 0.0, false, 0
		for _, s := range sts {
			if !on[row][s.product.ID] {
				continue
			}
			n++
			all += s.product.RateKgHa
			alike = alike || s.product.RateKgHa == 0
			if s.product.ID == id {
				mine = s.product.RateKgHa
			}
		}
		if alike || n < 2 {
			mine, all = 1, float64(max(1, n))
		}
		sum += mine / all
	}
	return sum / math.Max(1, float64(len(rows)))
}

// missing says what to write where a crop is not known.
func (s *stand) missing() string {
	return fmt.Sprintf("the crop of product %s is not known by its material %q: metres and area only; name the crop in an assumptions file", s.product.ID, s.product.Material)
}
