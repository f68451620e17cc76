package drill

import "fmt"

// HeadID names a distribution head, as the description spells it: "A", "C".
type HeadID string

// ProductID names what one tank meters: "seed", "fert".
type ProductID string

// SectionID names runs that are shut off together on purpose.
type SectionID string

// RunID names one hose from a head's outlet to an opener: HEAD-OUTLET, "C-7".
type RunID string

// NewRunID is the id of the run from outlet (1, 2, ...) of the head.
func NewRunID(head HeadID, outlet int) RunID {
	return RunID(fmt.Sprintf("%s-%d", head, outlet))
}

// Point is a place relative to the drill's reference point, the centre of the
// front rank at ground level, in metres (ISO 11783 axes with friendlier
// signs: up is the standard's -z).
type Point struct {
	Forward float64 `json:"forward" jsonschema:"required,minimum=-60,maximum=60"` // metres ahead of the front rank
	Right   float64 `json:"right" jsonschema:"required,minimum=-200,maximum=200"` // metres right of the middle, facing forward
	Up      float64 `json:"up,omitempty" jsonschema:"minimum=-3,maximum=10"`      // metres above the ground; absent = 0
}

// Drill is the machine as described in drill.yaml. The JSON form uses the
// same keys; it is what a fit carries inside. A Drill that came from Read is
// valid; the zero Drill has no rows and is not. The jsonschema tags hold what
// must be written and the limits of numbers, for Read and for editors alike.
type Drill struct {
	Runproof string    `json:"runproof" jsonschema:"required"`            // the form of the document: drill/1
	Name     string    `json:"name"`                                      // any text of one line
	Display  Display   `json:"display,omitempty"`                         // units in which numbers are shown; never what is computed
	Rows     Rows      `json:"rows" jsonschema:"required"`                // the stand of openers
	Products []Product `json:"products" jsonschema:"required,minItems=1"` // what the tanks meter
	Heads    []Head    `json:"heads" jsonschema:"required,minItems=1"`    // distribution heads
	Sections []Section `json:"sections,omitempty"`                        // runs that are shut off together on purpose
	Closed   []RunID   `json:"closed,omitempty"`                          // runs shut on purpose: never an alarm, never a skip
	Cart     Cart      `json:"cart"`                                      // the air cart
	GNSS     GNSS      `json:"gnss"`                                      // the antenna of the position source
	Work     Work      `json:"work"`                                      // how the drill is usually driven
	Sensing  Sensing   `json:"sensing"`                                   // what shall be sensed, and how
	Supply   Supply    `json:"supply"`                                    // the electrical supply
	Frame    Frame     `json:"frame,omitzero"`                            // where harness and tubes can be laid; derived where absent
}

// Rows is the stand of openers. Rows are dealt to ranks in turn from the left:
// row 1 to RanksM[0], row 2 to RanksM[1], ...
type Rows struct {
	Count    int       `json:"count" jsonschema:"required,minimum=1,maximum=400"`      // rows of the drill, numbered from 1 at the left, facing forward
	SpacingM float64   `json:"spacing_m" jsonschema:"required,minimum=0.03,maximum=2"` // metres between neighbouring rows, across the direction of travel
	RanksM   []float64 `json:"ranks_m" jsonschema:"minimum=-20,maximum=0"`             // forward coordinate of each rank in metres, the front rank at 0; rows are dealt to ranks in turn from the left
}

// Product is what one tank meters.
type Product struct {
	ID       ProductID `json:"id" jsonschema:"required"`                                 // a short name: seed, fert
	Material string    `json:"material,omitempty"`                                       // what it is: wheat, urea
	RateKgHa float64   `json:"rate_kg_ha,omitempty" jsonschema:"minimum=0,maximum=5000"` // application rate, kg/ha; 0 or absent = not said
	TKWG     float64   `json:"tkw_g,omitempty" jsonschema:"minimum=0,maximum=5000"`      // mass of 1000 particles, g; 0 or absent = not said
}

// Head is one distribution head: one primary line in, one outlet for each row
// it feeds, outlet 1 first.
type Head struct {
	ID      HeadID    `json:"id" jsonschema:"required"`                             // a short name: A, L1; runs are called after it, A-1, A-2
	Product ProductID `json:"product" jsonschema:"required"`                        // id of the product it divides
	At      Point     `json:"at_m" jsonschema:"required"`                           // where its outlets are
	Rows    RowList   `json:"rows" jsonschema:"required"`                           // rows fed by outlets 1, 2, ...
	HoseM   float64   `json:"hose_m,omitempty" jsonschema:"minimum=0.1,maximum=40"` // length of its longest hose, m; absent = not said
	HoseMM  float64   `json:"hose_mm,omitempty" jsonschema:"minimum=5,maximum=200"` // inside diameter of its hoses, mm; absent = not said
}

// Section is a set of runs shut off together on purpose.
type Section struct {
	ID    SectionID `json:"id" jsonschema:"required"` // a short name; its column in a flow log is sec:ID
	Heads []HeadID  `json:"heads,omitempty"`          // heads all of whose runs belong to it
	Runs  []RunID   `json:"runs,omitempty"`           // single runs that belong to it
}

// Cart says where the air cart rides.
type Cart struct {
	Position CartPosition `json:"position,omitempty"` // between tractor and drill, or behind the drill
}

// GNSS is the antenna of the position source. The zero GNSS is over the
// drill's reference point.
type GNSS struct {
	At Point `json:"at_m" jsonschema:"required"` // relative to the centre of the front rank
}

// Work is how the drill is usually driven.
type Work struct {
	SpeedMPS float64 `json:"speed_mps" jsonschema:"required,minimum=0.2,maximum=6"` // usual speed, m/s
}

// Sensing is what the fit shall sense, and how.
type Sensing struct {
	Node            string      `json:"node"`                                                 // id of a node part in the catalogue; absent = the catalogue's first
	Products        []ProductID `json:"products"`                                             // products to sense; absent = all that a head divides
	SparePorts      int         `json:"spare_ports" jsonschema:"minimum=0,maximum=64"`        // ports that every node leaves free
	SensorFromHeadM float64     `json:"sensor_from_head_m" jsonschema:"minimum=0,maximum=20"` // metres of hose from outlet to sensor; absent = 0.4
}

// Supply is the electrical supply at the power point.
type Supply struct {
	Volts float64 `json:"volts" jsonschema:"required,minimum=6,maximum=60"` // volts at the power point; absent = 12
}

// Frame is the skeleton that harness and tubes follow. The zero Frame means:
// derive a sensible one from heads, ranks and cart.
type Frame struct {
	Points []FramePoint `json:"points,omitempty"` // named places on the frame
	Links  []FrameLink  `json:"links,omitempty"`  // stretches of frame between points
}

// FramePoint is a named place on the frame.
type FramePoint struct {
	ID string `json:"id" jsonschema:"required"`   // a short name
	At Point  `json:"at_m" jsonschema:"required"` // where it is
}

// FrameLink is a stretch of frame along which a harness can be laid; SlackM is
// what a hinge between its ends needs on top of the straight length.
type FrameLink struct {
	From   string  `json:"from" jsonschema:"required"`                          // id of a frame point
	To     string  `json:"to" jsonschema:"required"`                            // id of another frame point
	SlackM float64 `json:"slack_m,omitempty" jsonschema:"minimum=0,maximum=10"` // metres that a hinge between them needs on top of the straight length
}

// Run is one hose from a head's outlet to an opener. It is derived, never
// written by hand.
type Run struct {
	ID      RunID
	Head    HeadID
	Outlet  int // 1, 2, ...
	Row     int // 1 = leftmost
	Product ProductID
	Closed  bool // shut on purpose: never alarms, never a skip
	Sensed  bool // its product is sensed
}
