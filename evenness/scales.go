package evenness

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"strings"

	"runproof/input"
	"runproof/input/yamldoc"
	"runproof/measure"
)

// ScalesVersion is the document version of scales.yaml.
const ScalesVersion = "scales/1"

//go:embed scales.yaml
var builtInScales []byte

// Mark says how sure a published figure is. The zero value is Memory: not
// confirmed.
type Mark int

// The marks.
const (
	Memory   Mark = iota // from memory, not confirmed
	Press                // quoted in the farm press
	Abstract             // in the source's abstract or summary only
	Text                 // the source's text was read
)

var markWords = []string{"memory", "press", "abstract", "read"}

// String is the word used in documents.
func (m Mark) String() string {
	if m < 0 || int(m) >= len(markWords) {
		return fmt.Sprintf("mark %d", int(m))
	}
	return markWords[m]
}

// MarshalText is String.
func (m Mark) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads one of the words.
func (m *Mark) UnmarshalText(b []byte) error {
	return input.Word(m, b, markWords, "%q is no mark of a source")
}

// caveat is what a reader must know of a figure of that mark.
func (m Mark) caveat() string {
	switch m {
	case Memory:
		return "from memory, unconfirmed"
	case Press:
		return "from the farm press"
	case Abstract:
		return "from its abstract"
	}
	return ""
}

// Scales are published bands of evenness. The zero Scales name none.
type Scales struct {
	Runproof string     `json:"runproof" jsonschema:"required"` // ScalesVersion
	Scales   []Scale    `json:"scales"`                         // bands by who published them
	Measured []Measured `json:"measured,omitempty"`             // what others measured
}

// Scale is one published scale.
type Scale struct {
	Who       string     `json:"who" jsonschema:"required"`    // who published it
	Of        string     `json:"of" jsonschema:"required"`     // what it is for
	Materials []string   `json:"materials,omitempty"`          // words of a material that it is for; absent = any
	World     string     `json:"world,omitempty"`              // what kind of test and machine it comes from
	Bands     []BandStep `json:"bands" jsonschema:"required"`  // from the most even on
	Over      string     `json:"over" jsonschema:"required"`   // name of what lies over the last band
	Mark      Mark       `json:"mark" jsonschema:"required"`   // how sure it is
	Source    string     `json:"source" jsonschema:"required"` // where it stands
}

// BandStep is one band of a scale.
type BandStep struct {
	ToPercent float64 `json:"to_percent" jsonschema:"required,exclusiveMinimum=0,maximum=1000"` // its upper limit, which belongs to it, % CV
	Name      string  `json:"name" jsonschema:"required"`                                       // its name
}

// Measured is what others measured.
type Measured struct {
	What        string  `json:"what" jsonschema:"required"`                                // machine and product
	FromPercent float64 `json:"from_percent" jsonschema:"required,minimum=0,maximum=1000"` // least CV, %
	ToPercent   float64 `json:"to_percent" jsonschema:"required,minimum=0,maximum=1000"`   // greatest CV, %
	Mark        Mark    `json:"mark" jsonschema:"required"`                                // how sure it is
	Source      string  `json:"source" jsonschema:"required"`                              // where it stands
}

// DefaultScales are those built in.
func DefaultScales() Scales {
	s, err := ReadScales(bytes.NewReader(builtInScales), "scales.yaml")
	if err != nil {
		panic(err) // a fault of the program, seen by its first test
	}
	return s
}

// ReadScales reads a file like scales.yaml. The error is input.Faults with every
// fault of it, or what r returned.
func ReadScales(r io.Reader, name string) (Scales, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Scales{}, err
	}
	if err := doc.WantVersion(ScalesVersion); err != nil {
		return Scales{}, err
	}
	var s Scales
	doc.Decode(&s)
	for i, x := range s.Scales {
		for k := 1; k < len(x.Bands); k++ {
			if x.Bands[k].ToPercent <= x.Bands[k-1].ToPercent {
				doc.Fault(doc.At("scales", i, "bands", k), "write the bands from the most even on", "band %q of %s does not lie over the one before", x.Bands[k].Name, x.Who)
			}
		}
	}
	for i, m := range s.Measured {
		if m.ToPercent < m.FromPercent {
			doc.Fault(doc.At("measured", i), "write the lesser first", "%s runs from %g to %g %%", m.What, m.FromPercent, m.ToPercent)
		}
	}
	return s, doc.Err()
}

// Band is where a CV lies on one published scale: a name and its source, no
// judgement of the program's own.
type Band struct {
	Scale  string `json:"scale"`            // who published the scale, and what it is for
	Name   string `json:"name"`             // name of the band
	Steps  string `json:"steps"`            // all bands of the scale in words
	World  string `json:"world,omitempty"`  // what kind of test and machine the scale comes from
	Mark   Mark   `json:"mark"`             // how sure the scale is
	Source string `json:"source,omitempty"` // where it stands
}

// Bands are the bands of a CV on every scale that is for the material.
func (s Scales) Bands(cv float64, material string) []Band {
	var out []Band
	for _, x := range s.Scales {
		if len(x.Materials) > 0 && !mentions(material, x.Materials) {
			continue
		}
		out = append(out, Band{Scale: x.Who + ", " + x.Of, Name: x.band(cv), Steps: x.words(), World: x.World, Mark: x.Mark, Source: x.Source})
	}
	return out
}

// roundPercent is how finely a CV is held against a band: as finely as scales
// are printed.
const roundPercent = 1

func (s Scale) band(cv float64) string {
	percent := measure.Round(100*cv, roundPercent)
	for _, b := range s.Bands {
		if percent <= b.ToPercent {
			return b.Name
		}
	}
	return s.Over
}

func (s Scale) words() string {
	var w []string
	for _, b := range s.Bands {
		w = append(w, fmt.Sprintf("to %.4g %% %s", b.ToPercent, b.Name))
	}
	return strings.Join(append(w, "over that "+s.Over), ", ")
}

// Sentence is the band as a person reads it.
func (b Band) Sentence() string {
	s := fmt.Sprintf("%s: %s (%s", b.Scale, b.Name, b.Steps)
	if c := b.Mark.caveat(); c != "" {
		s += "; " + c
	}
	if b.World != "" {
		s += "; a scale of " + b.World
	}
	return s + ")"
}

// mentions tells whether one of the words stands in a text as a whole word.
func mentions(text string, words []string) bool {
	said := plainWords(text)
	for _, w := range words {
		if p := plainWords(w); p != "  " && strings.Contains(said, p) {
			return true
		}
	}
	return false
}

// plainWords is a text in lower case with one space around every word.
func plainWords(text string) string {
	return " " + strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127)
	}), " ") + " "
}
