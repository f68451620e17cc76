package cost

import (
	"fmt"

	"runproof/input"
)

// Mark says how sure a figure is. The zero value is Practice.
type Mark int

// The marks.
const (
	Practice Mark = iota // common practice, no source
	Memory               // from memory, unconfirmed
	Abstract             // in the source's abstract or summary only
	Text                 // the source's text was read
	Yours                // the grower's own
	Measured             // measured by this program's own tests
)

var markWords = []string{"practice", "memory", "abstract", "read", "yours", "measured"}

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

// Words are what a reader must know of a figure of that mark.
func (m Mark) Words() string {
	return [...]string{"common practice, no source", "from memory, unconfirmed", "from a source's abstract", "from a source", "yours", "measured on made days"}[m]
}
