package fit

import (
	"fmt"
	"io"

	"runproof/check"
	"runproof/drill"
	"runproof/input/jsondoc"
	"runproof/parts"
)

// Version is the document version this package writes.
const Version = "fit/1"

// Node is one sensing node: a box with a serial number and numbered ports,
// mounted at a head.
type Node struct {
	Serial string       `json:"serial"`
	Part   string       `json:"part"` // id in the catalogue
	Ports  int          `json:"ports"`
	Head   drill.HeadID `json:"head"` // where it is mounted
}

// PortRef is one port of one node.
type PortRef struct {
	Node string `json:"node"`
	Port int    `json:"port"` // 1, 2, ...
}

// String is the column name of the port in a flow log: node:port.
func (p PortRef) String() string { return fmt.Sprintf("%s:%d", p.Node, p.Port) }

// Link says which port listens to which run.
type Link struct {
	Run   drill.RunID `json:"run"`
	Node  string      `json:"node"`
	Port  int         `json:"port"`
	TubeM float64     `json:"tube_m"` // from node to sensor, metres
}

// Ref is the link's port.
func (l Link) Ref() PortRef { return PortRef{l.Node, l.Port} }

// Source is an input that a document was made from.
type Source struct {
	Name   string `json:"name"`   // base name of the file
	SHA256 string `json:"sha256"` // of its bytes, hex
}

// Provenance says what made a revision, and from what.
type Provenance struct {
	By     string   `json:"by"`               // command: "runproof plan"
	From   []Source `json:"from,omitempty"`   // inputs, in the order used
	Why    string   `json:"why,omitempty"`    // in a person's words
	Parent string   `json:"parent,omitempty"` // SHA-256 of the revision before
}

// Allocation is what the planner says of its answer. The zero Allocation is
// that of a fit which no planner made.
type Allocation struct {
	Nodes   int     `json:"nodes"`
	Pairs   int     `json:"pairs"`   // node-head pairs
	TubeM   float64 `json:"tube_m"`  // total tube length, metres, that from head to sensor included
	Optimal bool    `json:"optimal"` // no other answer is better
	Bound   string  `json:"bound"`   // how optimality was proved, or the gap
}

// Fit is the as-designed, later as-proved, record of one drill's sensing. It
// carries the drill's description, so that every later step needs this one
// document.
type Fit struct {
	Runproof   string      `json:"runproof"` // Version
	Revision   int         `json:"revision"` // 1, 2, ...
	Made       Provenance  `json:"made"`
	Drill      drill.Drill `json:"drill"`
	Nodes      []Node      `json:"nodes"` // serials ascending in the order a person walks
	Map        []Link      `json:"map"`   // in the order of nodes, then ports
	Allocation Allocation  `json:"allocation"`

	Harness    Harness       `json:"harness,omitzero"`     // how power and bus go along the frame
	Power      []PowerCase   `json:"power,omitempty"`      // one for each case of the supply
	Wires      []Wire        `json:"wires,omitempty"`      // advice on the supply conductors, leg by leg
	Protection Protection    `json:"protection,omitzero"`  // the fuse at the supply end
	Bus        Bus           `json:"bus,omitzero"`         // the data pair, judged by its rules
	Radio      Radio         `json:"radio,omitzero"`       // the link to the cab
	WorkSwitch WorkSwitch    `json:"work_switch,omitzero"` // how the monitor learns whether the drill is in the ground
	Air        Air           `json:"air,omitzero"`         // how the product travels
	Checks     check.Results `json:"checks,omitempty"`     // what every rule says of this fit

	Parts []parts.Part `json:"parts,omitempty"` // the catalogue's entries of the parts used
	Kit   parts.Kit    `json:"kit,omitzero"`    // what to pick for it
}

// Write writes the fit as indented JSON with a final newline, the same bytes
// for the same fit.
func (f *Fit) Write(w io.Writer) error {
	return jsondoc.Write(w, f)
}

// PortOf returns the port that listens to the run, and whether one does.
func (f *Fit) PortOf(run drill.RunID) (PortRef, bool) {
	for _, l := range f.Map {
		if l.Run == run {
			return l.Ref(), true
		}
	}
	return PortRef{}, false
}
