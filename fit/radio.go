package fit

import "runproof/drill"

// Radio is the link from gateway to cab: where gateway and antenna can go,
// which place is best, and how far people stay from the antenna. The zero Radio
// is not planned. A pointer that is nil is a figure that is not known.
type Radio struct {
	Gateway string        `json:"gateway"`           // part of the catalogue; empty where it has none
	Antenna string        `json:"antenna,omitempty"` // part of the catalogue; empty: the gateway's own
	Options []RadioOption `json:"options"`           // best first: Options[0] is the plan
	EIRPdBm *float64      `json:"eirp_dbm"`          // radiated in the antenna's strongest direction, dBm
	People  Exposure      `json:"people"`            // distance of people from the antenna
}

// Best is the place planned; the zero RadioOption where nothing is planned.
func (r Radio) Best() RadioOption {
	if len(r.Options) == 0 {
		return RadioOption{}
	}
	return r.Options[0]
}

// RadioOption is one way to place gateway and antenna.
type RadioOption struct {
	Name      string      `json:"name"`         // "gateway on the cart, antenna at its front edge"
	Gateway   drill.Point `json:"gateway_at_m"` // where the gateway goes
	GatewayOn string      `json:"gateway_on"`   // what it is bolted to, in words
	Antenna   drill.Point `json:"antenna_at_m"` // where the antenna goes
	AntennaOn string      `json:"antenna_on"`   // what it stands on, in words

	LeadM     float64  `json:"lead_m"`       // of antenna lead that is needed, with room to lay it, m
	OperatorM float64  `json:"operator_m"`   // antenna to the operator's head, m
	ClearM    *float64 `json:"clear_m"`      // clearance of the line to the cab over or beside the cart; negative: through it, m
	FresnelM  *float64 `json:"fresnel_m"`    // radius of the first Fresnel zone where the cart is nearest to the line, m
	Sight     Sight    `json:"sight"`        // whether the cab is seen past the cart
	LossDB    *float64 `json:"loss_db"`      // free-space loss to the cab, dB
	RxDBm     *float64 `json:"received_dbm"` // at the tablet, after losses, dBm
	MarginDB  *float64 `json:"margin_db"`    // over what the receiver needs, before the fade allowance, dB
	Broken    []string `json:"broken"`       // rules that this place breaks; empty: it can be used
	Why       string   `json:"why"`          // what speaks for and against it
}

// Exposure is how far people must stay from the antenna.
type Exposure struct {
	LimitWM2  *float64 `json:"limit_w_m2"`       // the lower of the limits for the public, W/m2
	FreeM     *float64 `json:"free_m"`           // distance at which it is reached in the open, m
	GroundM   *float64 `json:"ground_m"`         // the same with the reflection of the ground at its worst, m
	ApprovalM float64  `json:"approval_m"`       // the radio's own approval; 0 = not said, m
	RequiredM float64  `json:"required_m"`       // the largest of these and 0.20 m
	Source    string   `json:"source,omitempty"` // of the limit
}

// Sight is whether the antenna sees the cab. The zero value is not judged.
type Sight int

// How the antenna sees the cab.
const (
	SightUnknown Sight = iota
	SightClear         // the first Fresnel zone is free
	SightGrazed        // the line passes the cart, and the cart stands in the first Fresnel zone
	SightBlocked       // the line goes through the cart
)

var sightWords = []string{"unknown", "clear", "grazed", "blocked"}

// String is the word used in documents.
func (s Sight) String() string { return wordAt(sightWords, int(s), "Sight") }

// MarshalText is String.
func (s Sight) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads one of the words.
func (s *Sight) UnmarshalText(b []byte) error {
	i, err := wordIndex(sightWords, string(b), "kind of sight")
	*s = Sight(i)
	return err
}
