package airflow

import (
	"bytes"
	_ "embed"
	"io"
	"math"
	"strings"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/input/yamldoc"
)

// MaterialsVersion is the document version of materials.yaml.
const MaterialsVersion = "materials/1"

//go:embed materials.yaml
var builtin []byte

// Material is what one particle of a product is like.
type Material struct {
	Name        string   `json:"name" jsonschema:"required"`
	Also        []string `json:"also"` // other words for it
	DiameterMM  float64  `json:"diameter_mm" jsonschema:"required,exclusiveMinimum=0"`
	DensityKgM3 float64  `json:"density_kg_m3" jsonschema:"required,exclusiveMinimum=0"`
	BulkKgM3    float64  `json:"bulk_kg_m3" jsonschema:"required,exclusiveMinimum=0"`
	Fall        fit.Span `json:"fall_mps" jsonschema:"required"`
	Source      string   `json:"source" jsonschema:"required"`
}

// Materials is a table of materials. The zero table knows none.
type Materials struct {
	Runproof  string     `json:"runproof"`
	Materials []Material `json:"materials" jsonschema:"required,minItems=1"`
}

// DefaultMaterials is the table built in.
func DefaultMaterials() Materials {
	m, err := ReadMaterials(bytes.NewReader(builtin), "materials.yaml")
	if err != nil {
		panic(err) // a fault of the program, seen by its first test
	}
	return m
}

// ReadMaterials reads a table like materials.yaml. The error is input.Faults
// with every fault of it, or what r returned.
func ReadMaterials(r io.Reader, name string) (Materials, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Materials{}, err
	}
	if err := doc.WantVersion(MaterialsVersion); err != nil {
		return Materials{}, err
	}
	var m Materials
	doc.Decode(&m)
	for i, x := range m.Materials {
		if s := x.Fall; !(0 < s.Low && s.Low <= s.Likely && s.Likely <= s.High) {
			doc.Fault(doc.At("materials", i, "fall_mps"), "write low, likely and high in that order, m/s", "the terminal velocity of %q is out of order", x.Name)
		}
	}
	return m, doc.Err()
}

// Find is the material that a drill's word means: the longest name that stands
// in it as a whole word, else the one whose name is nearest; false where none
// is near.
func (m Materials) Find(word string) (Material, bool) {
	said := " " + strings.Join(strings.FieldsFunc(strings.ToLower(word), notLetter), " ") + " "
	best, longest := -1, 0
	var names []string
	of := make(map[string]int)
	for i, x := range m.Materials {
		for _, n := range append([]string{x.Name}, x.Also...) {
			names = append(names, n)
			of[n] = i
			if k := len(n); k > longest && strings.Contains(said, " "+strings.ToLower(n)+" ") {
				best, longest = i, k
			}
		}
	}
	if best < 0 && strings.TrimSpace(said) != "" {
		if n, ok := input.Nearest(word, names); ok {
			best = of[n]
		}
	}
	if best < 0 {
		return Material{}, false
	}
	return m.Materials[best], true
}

func notLetter(r rune) bool { return !(r >= 'a' && r <= 'z') && r < 0x80 }

// particle is what one particle of the product is taken to be: the drill's own
// figures first, the material's for the rest; false where neither says.
func (m Materials) particle(p drill.Product) (fit.AirParticle, Material, bool) {
	x, known := m.Find(p.Material)
	out := fit.AirParticle{Material: x.Name, DiameterM: x.DiameterMM / 1000, DensityKgM3: x.DensityKgM3, FallMPS: x.Fall, Source: x.Source}
	if p.DensityKgM3 > 0 {
		out.DensityKgM3 = p.DensityKgM3
	}
	switch {
	case p.ParticleMM > 0:
		out.DiameterM = p.ParticleMM / 1000
	case p.TKWG > 0 && out.DensityKgM3 > 0:
		out.DiameterM = SphereM(p.TKWG/1e6, out.DensityKgM3)
	}
	if p.FallMPS > 0 {
		out.FallMPS = fit.Span{Low: p.FallMPS, Likely: p.FallMPS, High: p.FallMPS}
		out.Source = "the drill's description"
		if !known {
			out.Material = ""
		}
	}
	return out, x, out.DiameterM > 0 && out.DensityKgM3 > 0 && out.FallMPS.Known()
}

// fourDigits rounds to what a correlation can tell.
func fourDigits(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	p := math.Pow(10, 3-math.Floor(math.Log10(math.Abs(v))))
	if p == 0 || math.IsInf(p, 0) {
		return v // at the ends of what a float holds
	}
	return math.Round(v*p) / p
}

func spanOf(low, likely, high float64) fit.Span {
	return fit.Span{Low: fourDigits(low), Likely: fourDigits(likely), High: fourDigits(high)}
}
