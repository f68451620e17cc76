package fit

// PowerCase is the direct current in the harness in one state of the supply.
// The voltage of a point is that between go and return there.
type PowerCase struct {
	Case         string             `json:"case"`          // "engine off", "cranking recovery", "charging"
	SupplyV      float64            `json:"supply_v"`      // at the power point under load, V
	TemperatureC float64            `json:"temperature_c"` // of the conductors, °C
	Legs         []PowerLeg         `json:"legs"`          // a tree rooted at "supply"
	Loads        []PowerLoad        `json:"loads"`         // what draws current; a box that is off is not among them
	Volts        map[string]float64 `json:"volts"`         // at each point but the supply, V
	SupplyA      float64            `json:"supply_a"`      // drawn from the power point, A
	Off          []string           `json:"off,omitempty"` // boxes whose voltage is under what they work at: they draw nothing
}

// PowerLeg is one leg of the tree of supply conductors. Its loop has
// 2 x OhmPerM x LengthM + ContactOhm.
type PowerLeg struct {
	From       string  `json:"from"`        // point nearer to the supply
	To         string  `json:"to"`          // point farther from it
	LengthM    float64 `json:"length_m"`    // of the leg as laid, m
	OhmPerM    float64 `json:"ohm_per_m"`   // one conductor at the case's temperature, ohm/m
	ContactOhm float64 `json:"contact_ohm"` // all contacts of the leg, go and return together, ohm
	Amps       float64 `json:"amps"`        // in the leg, A
}

// PowerLoad is one box that draws current: constant current, or constant power.
type PowerLoad struct {
	At    string  `json:"at"`              // point of the tree
	Amps  float64 `json:"amps,omitempty"`  // constant current, A
	Watts float64 `json:"watts,omitempty"` // constant power, W
}

// Protection is the fuse at the supply end and what it does. The zero
// Protection is not planned.
type Protection struct {
	Part        string  `json:"part,omitempty"` // of the catalogue
	RatingA     float64 `json:"rating_a"`       // of the fuse, A
	ContinuousA float64 `json:"continuous_a"`   // highest current of the cases that last, A
	FaultAt     string  `json:"fault_at"`       // place where a short gives the least current
	FaultA      float64 `json:"fault_a"`        // that current, A
	OpensS      float64 `json:"opens_s"`        // by when the fuse has opened then, s; 0 = not promised
}

// Wire is what a leg's supply conductors are, what flows in them, and what one
// would wish for.
type Wire struct {
	Leg       string  `json:"leg"`        // id of the leg
	AreaMM2   float64 `json:"area_mm2"`   // as planned, mm2
	Gauge     string  `json:"gauge"`      // the American gauge nearest to it
	Amps      float64 `json:"amps"`       // highest of all cases, A
	AmpacityA float64 `json:"ampacity_a"` // what the wire may carry for long, A
	DropV     float64 `json:"drop_v"`     // along the leg, go and return, highest of the cases that last, V
	WishMM2   float64 `json:"wish_mm2"`   // cross-section at which the boxes beyond would have the drop that one would wish, mm2
}
