package evenness

import (
	"bytes"
	_ "embed"
	"io"
	"regexp"
	"strconv"

	"runproof/drill"
	"runproof/input/yamldoc"
)

// SafeRatesVersion is the document version of saferates.yaml.
const SafeRatesVersion = "saferates/1"

//go:embed saferates.yaml
var builtInSafeRates []byte

// SafeRates are published rates that are safe in the seed row. The zero value
// has none, and nothing is judged.
type SafeRates struct {
	Runproof    string       `json:"runproof" jsonschema:"required"` // SafeRatesVersion
	Rates       []SafeRate   `json:"rates"`                          // published rates
	Fertilisers []Fertiliser `json:"fertilisers,omitempty"`          // what fertilisers hold
}

// SafeRate is one published rate and what it holds for.
type SafeRate struct {
	Crops    []string `json:"crops" jsonschema:"required"`      // words of the seed's material
	Nutrient string   `json:"nutrient" jsonschema:"required"`   // N, P2O5 or K2O
	Spread   Range    `json:"spread_m" jsonschema:"required"`   // width over which seed and fertiliser lie in the row, m
	Row      Range    `json:"row_m" jsonschema:"required"`      // row spacing, m
	Safe     Range    `json:"safe_kg_ha" jsonschema:"required"` // of the nutrient: safe up to from, past advice over to, kg/ha
	Mark     Mark     `json:"mark" jsonschema:"required"`       // how sure it is
	Source   string   `json:"source" jsonschema:"required"`     // where it stands
}

// Range is a stretch of a quantity, its ends included.
type Range struct {
	From float64 `json:"from" jsonschema:"required,minimum=0"` // least
	To   float64 `json:"to" jsonschema:"required,minimum=0"`   // most
}

func (r Range) holds(v float64) bool { return v >= r.From && v <= r.To }

// Fertiliser is what one product holds, percent of its mass.
type Fertiliser struct {
	Names []string `json:"names" jsonschema:"required"`                      // words for it
	N     float64  `json:"n" jsonschema:"required,minimum=0,maximum=100"`    // nitrogen, %
	P2O5  float64  `json:"p2o5" jsonschema:"required,minimum=0,maximum=100"` // phosphate, %
	K2O   float64  `json:"k2o" jsonschema:"required,minimum=0,maximum=100"`  // potash, %
}

// Of is the part of a nutrient by its name, 0 to 1.
func (f Fertiliser) Of(nutrient string) float64 {
	switch nutrient {
	case "N":
		return f.N / 100
	case "P2O5":
		return f.P2O5 / 100
	case "K2O":
		return f.K2O / 100
	}
	return 0
}

// DefaultSafeRates are those built in.
func DefaultSafeRates() SafeRates {
	s, err := ReadSafeRates(bytes.NewReader(builtInSafeRates), "saferates.yaml")
	if err != nil {
		panic(err) // a fault of the program, seen by its first test
	}
	return s
}

// ReadSafeRates reads a file like saferates.yaml. The error is input.Faults with
// every fault of it, or what r returned.
func ReadSafeRates(r io.Reader, name string) (SafeRates, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return SafeRates{}, err
	}
	if err := doc.WantVersion(SafeRatesVersion); err != nil {
		return SafeRates{}, err
	}
	var s SafeRates
	doc.Decode(&s)
	for i, x := range s.Rates {
		if n := x.Nutrient; n != "N" && n != "P2O5" && n != "K2O" {
			doc.Fault(doc.At("rates", i, "nutrient"), "write N, P2O5 or K2O", "%q is no nutrient", n)
		}
		for key, r := range map[string]Range{"spread_m": x.Spread, "row_m": x.Row, "safe_kg_ha": x.Safe} {
			if r.To < r.From {
				doc.Fault(doc.At("rates", i, key), "write the lesser first", "%s runs from %g to %g", key, r.From, r.To)
			}
		}
	}
	return s, doc.Err()
}

var grade = regexp.MustCompile(`(\d{1,2}(?:\.\d+)?)-(\d{1,2}(?:\.\d+)?)-(\d{1,2}(?:\.\d+)?)`)

// fertiliser is what the product holds, by a grade in its material's name or by
// the table, and whether it is a fertiliser at all. One that is, and whose
// content nobody said, holds nothing.
func (s SafeRates) fertiliser(p drill.Product) (f Fertiliser, known, is bool) {
	if m := grade.FindStringSubmatch(p.Material); m != nil {
		parts := [3]float64{}
		for i := range parts {
			parts[i], _ = strconv.ParseFloat(m[i+1], 64) // the pattern lets only numbers through
		}
		return Fertiliser{N: parts[0], P2O5: parts[1], K2O: parts[2]}, true, true
	}
	for _, f := range s.Fertilisers {
		if mentions(p.Material, f.Names) {
			return f, true, true
		}
	}
	words := []string{"fert", "fertiliser", "fertilizer", "phosphate", "sulphate", "sulfate", "npk", "nitrogen", "starter", "blend"}
	return Fertiliser{}, false, mentions(p.Material, words) || mentions(string(p.ID), words)
}
