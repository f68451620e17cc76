package measure

import (
	"fmt"

	"runproof/input"
)

var systemWords = []string{"metric", "us"}

// MarshalText is String.
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads "metric" or "us"; nothing is metric. The error is an
// input.Fault without a place.
func (s *System) UnmarshalText(b []byte) error {
	switch string(b) {
	case "metric", "":
		*s = Metric
	case "us":
		*s = US
	default:
		return input.Fault{
			What:   fmt.Sprintf("%q is no unit system", b),
			Remedy: input.DidYouMean(string(b), systemWords),
		}
	}
	return nil
}
