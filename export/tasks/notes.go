package tasks

import (
	"fmt"
	"math"
	"slices"

	"runproof/drill"
	"runproof/export"
	"runproof/measure"
)

// narrowest is the width of the product's narrowest section, m.
func narrowest(d *drill.Drill, p drill.ProductID) float64 {
	least := math.Inf(1)
	for _, s := range sectionsOf(d, p) {
		_, w := s.place(d)
		least = min(least, w)
	}
	return measure.Round(least, 3)
}

// narrower is how many polygons are narrower than a section. A strip's area is its
// length times its width, and its outline twice the two together.
func (z zone) narrower(sectionM float64) int {
	n := 0
	for _, p := range z.ground {
		area, half := export.Ground{p}.AreaM2(), export.Ground{p}.OutlineM()/2
		// width w and length half - w, with w the smaller: w (half - w) = area
		w := (half - math.Sqrt(max(0, half*half-4*area))) / 2
		if w < 0.95*sectionM {
			n++
		}
	}
	return n
}

// notes tells what does not go together.
func (in Input) notes(s Set) []string {
	var out []string
	if day, d := in.Day.Summary.Drill, in.Drill.Name; day != d {
		out = append(out, fmt.Sprintf("the day was recorded on %q, the drill described is %q", day, d))
	}
	var strange []drill.ProductID
	for _, skip := range in.Day.Short {
		if p := skip.Event.Product; !slices.Contains(strange, p) {
			if _, known := in.Drill.Product(p); !known {
				strange = append(strange, p)
				out = append(out, fmt.Sprintf("product %q of the day is not the drill's: no task for it", p))
			}
		}
	}
	for _, t := range s.Tasks {
		if t.Narrow > 0 {
			out = append(out, fmt.Sprintf("%d of %d polygons for %s are narrower than a section (%g m): sown again with this drill, good rows beside them are sown twice", t.Narrow, t.Polygons, t.Product, t.SectionM))
		}
	}
	if len(s.Tasks) == 0 {
		out = append(out, "no ground to sow again: the set describes the drill and holds no task")
	}
	return out
}
