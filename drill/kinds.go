package drill

import "fmt"

// Display is the unit system in which numbers are shown. It never changes what
// is computed or stored. The zero value is Metric.
type Display int

// The unit systems.
const (
	Metric Display = iota
	US
)

// String is the word used in drill.yaml.
func (d Display) String() string {
	if d == US {
		return "us"
	}
	return "metric"
}

// MarshalText is String.
func (d Display) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads "metric" or "us".
func (d *Display) UnmarshalText(b []byte) error {
	switch string(b) {
	case "metric", "":
		*d = Metric
	case "us":
		*d = US
	default:
		return fmt.Errorf("%q is no unit system; use metric or us", b)
	}
	return nil
}

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

// UnmarshalText reads "between" or "behind".
func (c *CartPosition) UnmarshalText(b []byte) error {
	switch string(b) {
	case "between", "":
		*c = CartBetween
	case "behind":
		*c = CartBehind
	default:
		return fmt.Errorf("%q is no cart position; use between or behind", b)
	}
	return nil
}
