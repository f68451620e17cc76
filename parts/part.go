package parts

import (
	"fmt"
	"slices"

	"runproof/input"
)

// Part is one part of a catalogue. Fields that its kind has no use for are
// zero; a zero limit or price means that it is not said.
type Part struct {
	ID   string `json:"id" jsonschema:"required"`   // a short name, unique in the catalogue
	Kind Kind   `json:"kind" jsonschema:"required"` // what it is for
	Name string `json:"name,omitempty"`             // what a person calls it; absent = the id

	Ports      int      `json:"ports,omitempty" jsonschema:"minimum=1,maximum=128"`              // node: numbered ports
	TubeMaxM   float64  `json:"tube_max_m,omitempty" jsonschema:"exclusiveMinimum=0,maximum=60"` // node: longest tube from it to a sensor, m
	IdleA      float64  `json:"idle_a,omitempty" jsonschema:"minimum=0,maximum=50"`              // node, gateway: current at its supply voltage, A
	VoltsMin   float64  `json:"volts_min,omitempty" jsonschema:"minimum=0,maximum=60"`           // node, gateway: least voltage at which it works, V
	HoseMM     float64  `json:"hose_mm,omitempty" jsonschema:"minimum=5,maximum=200"`            // sensor, clamp, adapter: inside diameter of the hose, mm
	ToMM       float64  `json:"to_mm,omitempty" jsonschema:"minimum=5,maximum=200"`              // adapter: inside diameter at its other end, mm
	LengthM    float64  `json:"length_m,omitempty" jsonschema:"exclusiveMinimum=0,maximum=1000"` // tube: of a roll; leg: stock length, m
	AreaMM2    float64  `json:"area_mm2,omitempty" jsonschema:"exclusiveMinimum=0,maximum=100"`  // leg: cross-section of one conductor, mm2
	Ohm        float64  `json:"ohm,omitempty" jsonschema:"exclusiveMinimum=0,maximum=100000"`    // terminator: resistance, ohm
	Amps       float64  `json:"amps,omitempty" jsonschema:"exclusiveMinimum=0,maximum=200"`      // fuse: rating, A
	Watts      float64  `json:"watts,omitempty" jsonschema:"minimum=0,maximum=500"`              // node, gateway: power drawn whatever the voltage, W; in place of idle_a
	Bus        BusRules `json:"bus,omitempty"`                                                   // node, gateway: the rules that its bus keeps
	KbitS      float64  `json:"kbit_s,omitempty" jsonschema:"minimum=0,maximum=1000"`            // node, gateway: bit rate of its bus, kbit/s; absent = the rule's
	Joins      Joining  `json:"joins,omitempty"`                                                 // node, gateway: how it joins the bus; absent = through
	RatedA     float64  `json:"rated_a,omitempty" jsonschema:"minimum=0,maximum=200"`            // leg, tee: what its connectors may carry, A
	OhmPerM    float64  `json:"ohm_per_m,omitempty" jsonschema:"exclusiveMinimum=0,maximum=1"`   // leg: one conductor at 20 °C, ohm/m; absent = by area_mm2
	ContactOhm float64  `json:"contact_ohm,omitempty" jsonschema:"minimum=0,maximum=1"`          // leg: one mated contact, ohm; absent = 0.005
	MaxC       float64  `json:"max_c,omitempty" jsonschema:"minimum=0,maximum=250"`              // leg: temperature class of its insulation, °C; absent = 80
	TxDBm      float64  `json:"tx_dbm,omitempty" jsonschema:"minimum=-30,maximum=40"`            // gateway: radiated by its radio into the antenna lead, dBm
	MHz        float64  `json:"mhz,omitempty" jsonschema:"minimum=0,maximum=100000"`             // gateway: frequency of its radio, MHz
	RxDBm      float64  `json:"rx_dbm,omitempty" jsonschema:"minimum=-150,maximum=0"`            // gateway: weakest signal that the receiver in the cab needs, dBm
	GainDBi    float64  `json:"gain_dbi,omitempty" jsonschema:"minimum=-20,maximum=30"`          // antenna: gain, dBi
	LossDB     float64  `json:"loss_db,omitempty" jsonschema:"minimum=0,maximum=30"`             // antenna: loss of its lead, dB
	BodyM      float64  `json:"body_m,omitempty" jsonschema:"minimum=0,maximum=10"`              // gateway: least distance to people in the radio's own approval, m
	WeightKg   float64  `json:"weight_kg,omitempty" jsonschema:"minimum=0,maximum=1000"`         // of one piece, kg; 0 = not said
	Pack       int      `json:"pack,omitempty" jsonschema:"minimum=0,maximum=100000"`            // pieces in one bag or box, where it is not bought singly; absent = 1
	SparePer   int      `json:"spare_per,omitempty" jsonschema:"minimum=0,maximum=1000"`         // one spare piece for each so many begun; absent = the usual policy
	Price      float64  `json:"price,omitempty" jsonschema:"minimum=0,maximum=1000000"`          // of one piece, in the reader's own currency; 0 = not said
}

// String is the part's name, or its id where it has none.
func (p Part) String() string {
	if p.Name != "" {
		return p.Name
	}
	return p.ID
}

// needs are the keys that a part of a kind must carry.
var needs = map[Kind][]string{
	Node:       {"ports", "tube_max_m"},
	Sensor:     {"hose_mm"},
	Tube:       {"length_m"},
	Clamp:      {"hose_mm"},
	Adapter:    {"hose_mm", "to_mm"},
	Leg:        {"length_m", "area_mm2"},
	Terminator: {"ohm"},
	Fuse:       {"amps"},
}

// Catalogue is a list of parts, each id once. The zero Catalogue is empty.
type Catalogue struct {
	Parts []Part `json:"parts"`
}

// Part returns the part with that id, and whether there is one.
func (c Catalogue) Part(id string) (Part, bool) {
	i := slices.IndexFunc(c.Parts, func(p Part) bool { return p.ID == id })
	if i < 0 {
		return Part{}, false
	}
	return c.Parts[i], true
}

// Of returns the parts of one kind, in the order of the catalogue.
func (c Catalogue) Of(k Kind) []Part {
	var ps []Part
	for _, p := range c.Parts {
		if p.Kind == k {
			ps = append(ps, p)
		}
	}
	return ps
}

// Node returns the node part with that id; no id means the catalogue's first
// node. The error is an input.Fault without a place.
func (c Catalogue) Node(id string) (Part, error) {
	nodes := c.Of(Node)
	if id == "" && len(nodes) > 0 {
		return nodes[0], nil
	}
	p, ok := c.Part(id)
	if ok && p.Kind == Node {
		return p, nil
	}
	ids := make([]string, len(nodes))
	for i, n := range nodes {
		ids[i] = n.ID
	}
	remedy := input.DidYouMean(id, ids)
	if len(ids) == 0 {
		remedy = "describe one in parts.yaml: - {id: node-12, kind: node, ports: 12, tube_max_m: 3.0}"
	}
	if ok {
		return Part{}, input.Fault{What: fmt.Sprintf("sensing.node names %q, which is a %s, not a node", id, p.Kind), Remedy: remedy}
	}
	return Part{}, input.Fault{What: fmt.Sprintf("sensing.node names %q, which is not in the catalogue of parts", id), Remedy: remedy}
}
