package drill

import (
	"fmt"

	"runproof/input"
)

// Mount is the body of the outfit that carries the antenna. The zero value is
// not said: its place tells.
type Mount int

// The bodies that can carry an antenna.
const (
	MountUnsaid Mount = iota
	OnTractor
	OnCart
	OnDrill
)

var mountWords = []string{"", "tractor", "cart", "drill"}

// String is the word used in drill.yaml; empty for MountUnsaid.
func (m Mount) String() string {
	if m < 0 || int(m) >= len(mountWords) {
		return fmt.Sprintf("mount %d", int(m))
	}
	return mountWords[m]
}

// MarshalText is String.
func (m Mount) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (m *Mount) UnmarshalText(b []byte) error {
	for i, w := range mountWords {
		if w == string(b) {
			*m = Mount(i)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%q carries no antenna", b), Remedy: input.DidYouMean(string(b), mountWords[1:])}
}

// Tow says how the drill follows what pulls it. The zero Tow is not described:
// usual distances are taken, and what rests on them says so.
type Tow struct {
	Antenna  Mount   `json:"antenna,omitempty"`                                      // what carries the antenna: tractor, cart or drill; absent = by its place
	DrillM   float64 `json:"drill_m,omitempty" jsonschema:"minimum=0.5,maximum=30"`  // from the drill's hitch back to the line it turns about, m; absent = to the middle of its ranks
	CartM    float64 `json:"cart_m,omitempty" jsonschema:"minimum=0.5,maximum=20"`   // from the cart's hitch back to its axle that does not steer, m; absent = to the middle of its body
	TractorM float64 `json:"tractor_m,omitempty" jsonschema:"minimum=0.1,maximum=6"` // from the tractor's axle that does not steer back to its hitch, m; absent = 1
}
