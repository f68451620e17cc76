package cost

import (
	"bytes"
	_ "embed"
	"io"
	"slices"
	"strings"
	"sync"

	"runproof/input/yamldoc"
)

// CropsVersion is the document version of crops.yaml.
const CropsVersion = "crops/1"

//go:embed crops.yaml
var builtInCrops []byte

// Crops are what plants make up, by crop. The zero Crops know none.
type Crops struct {
	Runproof string `json:"runproof" jsonschema:"required"` // CropsVersion
	Crops    []Crop `json:"crops" jsonschema:"required"`    // by name
}

// Crop is how one crop's plants use open ground.
type Crop struct {
	Name       string   `json:"name" jsonschema:"required"`       // as shown
	Names      []string `json:"names" jsonschema:"required"`      // words of a material that mean it
	ReachM     Range    `json:"reach_m" jsonschema:"required"`    // how far a border row uses open ground beside it, m
	Efficiency Range    `json:"efficiency" jsonschema:"required"` // yield there as a part of a full stand's
	PlantsM2   Range    `json:"plants_m2" jsonschema:"required"`  // plants on a square metre of a full stand
	HalfM2     Range    `json:"half_m2" jsonschema:"required"`    // plants on a square metre that give half of what the crop can reach
	BushelLb   float64  `json:"bushel_lb,omitempty"`              // customary weight of a bushel, lb; 0 = not known
	Sources    []Source `json:"sources" jsonschema:"required"`    // where the figures come from
}

// Source says where one figure of a crop comes from.
type Source struct {
	Of     string `json:"of" jsonschema:"required"`     // key of the figure
	Mark   Mark   `json:"mark" jsonschema:"required"`   // how sure it is
	Source string `json:"source" jsonschema:"required"` // where it stands
}

// BuiltInCrops are those of crops.yaml; callers leave them as they are.
func BuiltInCrops() Crops { return readBuiltIn() }

var readBuiltIn = sync.OnceValue(func() Crops {
	c, err := ReadCrops(bytes.NewReader(builtInCrops), "crops.yaml")
	if err != nil {
		panic(err) // a fault of the program, seen by its first test
	}
	return c
})

// ReadCrops reads a file like crops.yaml. The error is input.Faults with every
// fault of it, or what r returned.
func ReadCrops(r io.Reader, name string) (Crops, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Crops{}, err
	}
	if err := doc.WantVersion(CropsVersion); err != nil {
		return Crops{}, err
	}
	var c Crops
	doc.Decode(&c)
	for i, x := range c.Crops {
		for _, f := range figures {
			checkLimits(doc, f.limits, f.of(&x), "crops", i, f.key)
			if doc.Has("crops", i) && x.source(f.key).Source == "" {
				doc.Fault(doc.At("crops", i), "add an entry to sources", "crop %s does not say where %s comes from", x.Name, f.key)
			}
		}
	}
	return c, doc.Err()
}

func (c Crop) source(key string) Source {
	i := slices.IndexFunc(c.Sources, func(s Source) bool { return s.Of == key })
	if i < 0 {
		return Source{}
	}
	return c.Sources[i]
}

// Named is the crop that the text names, by the longest word that it holds:
// "winter wheat" before "wheat".
func (c Crops) Named(text string) (Crop, bool) {
	said, best, at := plainWords(text), 0, -1
	for i, x := range c.Crops {
		for _, n := range append([]string{x.Name}, x.Names...) {
			if w := plainWords(n); len(w) > max(best, 2) && strings.Contains(said, w) {
				best, at = len(w), i
			}
		}
	}
	if at < 0 {
		return Crop{}, false
	}
	return c.Crops[at], true
}

// AllNames are the words by which the crops are known, first of each first.
func (c Crops) AllNames() []string {
	var out []string
	for _, x := range c.Crops {
		out = append(out, x.Names...)
	}
	return out
}

// plainWords is a text in lower case with one space around every word.
func plainWords(text string) string {
	return " " + strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127)
	}), " ") + " "
}
