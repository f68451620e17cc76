package season

import (
	"fmt"

	"runproof/input"
	"runproof/review"
)

// Trouble is what kind of thing went wrong, by what cures it. The zero value is
// Flow.
type Trouble int

// The troubles.
const (
	Flow    Trouble = iota // a run blocked or restricted: hose and opener
	Sensing                // readings gone or meaningless, a node silent: sensor, tube, port, node
	Supply                 // a head or a product short: primary line, meter, tank
)

var troubleWords = [...]string{"flow", "sensing", "supply"}

// Troubles lists them all.
func Troubles() []Trouble { return []Trouble{Flow, Sensing, Supply} }

// String is the word in season.json.
func (t Trouble) String() string { return troubleWords[t] }

// MarshalText is String.
func (t Trouble) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads a word of season.json.
func (t *Trouble) UnmarshalText(b []byte) error {
	for i, w := range troubleWords {
		if w == string(b) {
			*t = Trouble(i)
			return nil
		}
	}
	return fmt.Errorf("%q is no trouble; %s", b, input.DidYouMean(string(b), troubleWords[:]))
}

// TroubleOf says which trouble a kind of event is.
func TroubleOf(k review.Kind) Trouble {
	switch k {
	case review.Blocked, review.Restricted:
		return Flow
	case review.HeadStarved, review.ProductOut:
		return Supply
	}
	return Sensing
}
