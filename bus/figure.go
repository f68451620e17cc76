package bus

import (
	"fmt"
	"math"

	"runproof/input"
)

// Figure is a limit with its source and how well it is known. The zero Figure
// sets no limit.
type Figure struct {
	Is     float64 `json:"is" jsonschema:"required,exclusiveMinimum=0"`
	Plan   float64 `json:"plan,omitempty" jsonschema:"minimum=0"` // what is planned with where that is less; 0 = Is
	Mark   Mark    `json:"mark"`
	Source string  `json:"source" jsonschema:"required"`
}

// Limit is what is planned with; NaN where the rules set no limit.
func (f Figure) Limit() float64 {
	switch {
	case f.Plan > 0:
		return f.Plan
	case f.Is > 0:
		return f.Is
	}
	return math.NaN()
}

// From is the source with what a reader must know of it; empty where the rules
// set no limit.
func (f Figure) From() string {
	if f.Is == 0 {
		return ""
	}
	switch f.Mark {
	case FromMemory:
		return f.Source + " (figure from memory, not confirmed)"
	case Disputed:
		return f.Source + " (disputed)"
	case Secondary:
		return f.Source + " (seen in a secondary print)"
	case Confirmed:
	}
	return f.Source
}

// Mark is how well a figure is known. The zero value is from memory: nothing is
// shown as confirmed that nobody called so.
type Mark int

// The marks.
const (
	FromMemory Mark = iota
	Disputed        // prints differ
	Secondary       // read in a print that quotes the standard
	Confirmed       // read in a published text
)

var markWords = []string{"memory", "disputed", "secondary", "confirmed"}

// String is the word used in rules.yaml.
func (m Mark) String() string {
	if m < 0 || int(m) >= len(markWords) {
		return fmt.Sprintf("Mark(%d)", int(m))
	}
	return markWords[m]
}

// MarshalText is String.
func (m Mark) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads one of the words.
func (m *Mark) UnmarshalText(b []byte) error {
	return input.Word(m, b, markWords, "%q does not say how well a figure is known")
}
