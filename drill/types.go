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
	Forward float64 `json:"forward"`
	Right   float64 `json:"right"`
	Up      float64 `json:"up,omitempty"`
}

// Drill is the machine as described in drill.yaml. The JSON form uses the
// same keys; it is what a fit carries inside. A Drill that came from Read is
// valid; the zero Drill has no rows and is not.
type Drill struct {
	Runproof string    `json:"runproof"` // "drill/1"
	Name     string    `json:"name"`
	Display  Display   `json:"display,omitempty"`
	Rows     Rows      `json:"rows"`
	Products []Product `json:"products"`
	Heads    []Head    `json:"heads"`
	Sections []Section `json:"sections,omitempty"`
	Closed   []RunID   `json:"closed,omitempty"`
	Cart     Cart      `json:"cart"`
	GNSS     GNSS      `json:"gnss"`
	Work     Work      `json:"work"`
	Sensing  Sensing   `json:"sensing"`
	Supply   Supply    `json:"supply"`
	Frame    Frame     `json:"frame,omitzero"`
}

// Rows is the stand of openers. Rows are dealt to ranks in turn from the left:
// row 1 to RanksM[0], row 2 to RanksM[1], ...
type Rows struct {
	Count    int       `json:"count"`     // 1 to 400
	SpacingM float64   `json:"spacing_m"` // between neighbouring rows, across the direction of travel
	RanksM   []float64 `json:"ranks_m"`   // forward coordinate of each rank, 0 = front
}

// Product is what one tank meters.
type Product struct {
	ID       ProductID `json:"id"`
	Material string    `json:"material,omitempty"`
	RateKgHa float64   `json:"rate_kg_ha,omitempty"` // 0 = not said
	TKWG     float64   `json:"tkw_g,omitempty"`      // mass of 1000 particles, g; 0 = not said
}

// Head is one distribution head: one primary line in, one outlet for each row
// it feeds, outlet 1 first.
type Head struct {
	ID      HeadID    `json:"id"`
	Product ProductID `json:"product"`
	At      Point     `json:"at_m"`
	Rows    RowList   `json:"rows"`              // row fed by outlet 1, 2, ...
	HoseM   float64   `json:"hose_m,omitempty"`  // length of its hoses; 0 = not said
	HoseMM  float64   `json:"hose_mm,omitempty"` // inside diameter of its hoses; 0 = not said
}

// Section is a set of runs shut off together on purpose.
type Section struct {
	ID    SectionID `json:"id"`
	Heads []HeadID  `json:"heads,omitempty"` // all runs of these heads
	Runs  []RunID   `json:"runs,omitempty"`
}

// Cart says where the air cart rides.
type Cart struct {
	Position CartPosition `json:"position,omitempty"`
}

// GNSS is the antenna of the position source.
type GNSS struct {
	At Point `json:"at_m"`
}

// Work is how the drill is usually driven.
type Work struct {
	SpeedMPS float64 `json:"speed_mps"`
}

// Sensing is what the fit shall sense, and how.
type Sensing struct {
	Node            string      `json:"node"`               // id of a node part in the catalogue
	Products        []ProductID `json:"products"`           // products to sense
	SparePorts      int         `json:"spare_ports"`        // ports every node leaves free
	SensorFromHeadM float64     `json:"sensor_from_head_m"` // hose length from outlet to sensor
}

// Supply is the electrical supply at the power point.
type Supply struct {
	Volts float64 `json:"volts"`
}

// Frame is the skeleton that harness and tubes follow. The zero Frame means:
// derive a sensible one from heads, ranks and cart.
type Frame struct {
	Points []FramePoint `json:"points,omitempty"`
	Links  []FrameLink  `json:"links,omitempty"`
}

// FramePoint is a named place on the frame.
type FramePoint struct {
	ID string `json:"id"`
	At Point  `json:"at_m"`
}

// FrameLink is a stretch of frame along which a harness can be laid; SlackM is
// what a hinge between its ends needs on top of the straight length.
type FrameLink struct {
	From   string  `json:"from"`
	To     string  `json:"to"`
	SlackM float64 `json:"slack_m,omitempty"`
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
