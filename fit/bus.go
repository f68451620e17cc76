package fit

import "runproof/parts"

// Bus is the data pair that joins nodes and gateway, as judged by one set of
// rules. The zero Bus is not planned. A figure that is not known is 0.
type Bus struct {
	Rules parts.BusRules `json:"rules"`  // the set that every box on it keeps; empty where they do not agree
	KbitS float64        `json:"kbit_s"` // bit rate, kbit/s

	LengthM float64 `json:"length_m"`          // backbone as laid, between its terminators, m
	StubsM  float64 `json:"stubs_m"`           // all drops together, m
	Stubs   []Stub  `json:"stubs,omitempty"`   // each drop
	Boxes   int     `json:"boxes"`             // nodes and gateway on it
	LeastM  float64 `json:"least_m,omitempty"` // least cable between two neighbours on the backbone, m

	Terminators []Terminator `json:"terminators,omitempty"` // one at either end of the backbone
	Meter       Ohmmeter     `json:"meter,omitzero"`        // what an ohmmeter shows

	DelayS   float64 `json:"delay_s,omitempty"`     // there and back along the bus and through two transceivers, s
	DelayMax float64 `json:"delay_max_s,omitempty"` // what the bit's first segment leaves for it, s
	FarV     float64 `json:"far_v,omitempty"`       // least difference of the pair at the far end while a box speaks, V
	ReachM   float64 `json:"reach_m,omitempty"`     // length at which that would be too little, m
}

// Stub is a drop from the backbone to one box.
type Stub struct {
	At      string  `json:"at"`       // id of the place at its end
	LengthM float64 `json:"length_m"` // as laid, m
}

// Terminator is the resistor at one end of the backbone.
type Terminator struct {
	At   string  `json:"at"`   // id of the place
	Part string  `json:"part"` // of the catalogue; empty where it has none
	Ohm  float64 `json:"ohm"`  // 0 = not said
}

// Ohmmeter is what a meter shows across the two wires of the pair with the
// power off, and what each other reading means. The zero Ohmmeter does not
// apply: Words says why.
type Ohmmeter struct {
	Ohm    float64   `json:"ohm,omitempty"`    // expected at the gateway, ohm; 0 = the test does not apply
	EndA   float64   `json:"end_a,omitempty"`  // expected at the first end of the backbone, ohm
	EndB   float64   `json:"end_b,omitempty"`  // expected at its last end, ohm
	Bands  []OhmBand `json:"bands,omitempty"`  // ascending and without a gap: every reading is in one
	Words  string    `json:"words,omitempty"`  // how to measure, or why not
	Source string    `json:"source,omitempty"` // what the figures rest on
}

// OhmBand is a range of readings and what it means.
type OhmBand struct {
	FromOhm float64    `json:"from_ohm"`         // from this reading on, ohm
	ToOhm   float64    `json:"to_ohm,omitempty"` // 0 = and above
	Means   OhmMeaning `json:"means"`            // what it means
	Words   string     `json:"words"`            // "one terminator is missing: ..."
}
