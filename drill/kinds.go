package drill

import (
	"fmt"

	"runproof/input"
	"runproof/measure"
)

// Display is the unit system in which numbers are shown. It never changes what
// is computed or stored.
type Display = measure.System

// The unit systems.
const (
	Metric = measure.Metric
	US     = measure.US
)

// CartPosition is where the air cart rides. The zero value is between tractor
// and drill.
type CartPosition int

// The cart positions.
const (
	CartBetween CartPosition = iota
	CartBehind
)

// String is the word used in drill.yaml.
func (c CartPosition) String() string {
	if c == CartBehind {
		return "behind"
	}
	return "between"
}

// MarshalText is String.
func (c CartPosition) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads "between" or "behind"; nothing is between. The error is
// an input.Fault without a place.
func (c *CartPosition) UnmarshalText(b []byte) error {
	switch string(b) {
	case "between", "":
		*c = CartBetween
	case "behind":
		*c = CartBehind
	default:
		return input.Fault{
			What:   fmt.Sprintf("%q is no cart position", b),
			Remedy: input.DidYouMean(string(b), []string{"between", "behind"}),
		}
	}
	return nil
}
