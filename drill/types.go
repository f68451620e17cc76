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
	Cab      Cab       `json:"cab,omitzero"`                              // where the operator sits
	Lift     Lift      `json:"lift,omitzero"`                             // the linkage that lifts the openers
	Air      Air       `json:"air,omitzero"`                              // what was measured of the air
	Tow      Tow       `json:"tow,omitzero"`                              // how the drill follows what pulls it
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

	ParticleMM  float64 `json:"particle_mm,omitempty" jsonschema:"minimum=0,maximum=30"`     // diameter of a sphere as large as a particle, mm; absent = by material and tkw_g
	DensityKgM3 float64 `json:"density_kg_m3,omitempty" jsonschema:"minimum=0,maximum=8000"` // of a particle, not of the heap, kg/m3; absent = by material
	FallMPS     float64 `json:"fall_mps,omitempty" jsonschema:"minimum=0,maximum=40"`        // measured terminal velocity in still air, m/s; absent = by material
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

	PrimaryM  float64 `json:"primary_m,omitempty" jsonschema:"minimum=0.1,maximum=60"`  // length of its primary line from the meter to the foot of the riser, m; absent = by the cart's place
	PrimaryMM float64 `json:"primary_mm,omitempty" jsonschema:"minimum=20,maximum=300"` // inside diameter of its primary line, mm; absent = not said
	RiserM    float64 `json:"riser_m,omitempty" jsonschema:"minimum=0,maximum=6"`       // height of the upright pipe below the head, m; absent = not said
	Bends     int     `json:"bends,omitempty" jsonschema:"minimum=0,maximum=20"`        // right-angle bends of its primary line; absent = not said
}

// Section is a set of runs shut off together on purpose.
type Section struct {
	ID    SectionID `json:"id" jsonschema:"required"` // a short name; its column in a flow log is sec:ID
	Heads []HeadID  `json:"heads,omitempty"`          // heads all of whose runs belong to it
	Runs  []RunID   `json:"runs,omitempty"`           // single runs that belong to it
}

// Cart says where the air cart rides.
type Cart struct {
	Position CartPosition `json:"position,omitempty"`                                   // between tractor and drill, or behind the drill
	LengthM  float64      `json:"length_m,omitempty" jsonschema:"minimum=2,maximum=20"` // from its hitch to its rear, its tongue of 1.5 m with it, m; absent = 6
	TopM     float64      `json:"top_m,omitempty" jsonschema:"minimum=0,maximum=8"`     // top of its tanks above the ground, m; absent = 3.2
}

// Cab says where the operator sits.
type Cab struct {
	At *Point `json:"at_m,omitempty"` // head of the operator; absent = by hitch and cart
}

// Lift is the linkage that lifts the openers out of the ground: what turns when
// they are lifted, and so where a tilt sensor can tell the work state. The zero
// Lift is not described.
type Lift struct {
	Kind          LiftKind `json:"kind,omitempty"`                                              // parallel, rock-shaft or rigid
	ArmM          float64  `json:"arm_m,omitempty" jsonschema:"minimum=0,maximum=15"`           // from the fixed pivot to the pin that moves; rigid: from the hitch to the openers, m
	PivotUpM      float64  `json:"pivot_up_m,omitempty" jsonschema:"minimum=0,maximum=5"`       // fixed pivot above the ground, m
	PinWorkUpM    float64  `json:"pin_work_up_m,omitempty" jsonschema:"minimum=-1,maximum=5"`   // moving pin above the ground at work, m
	PinRaisedUpM  float64  `json:"pin_raised_up_m,omitempty" jsonschema:"minimum=-1,maximum=5"` // moving pin above the ground raised, m
	SlopeDeg      float64  `json:"slope_deg,omitempty" jsonschema:"minimum=0,maximum=30"`       // steepest slope along the way of travel, degrees; absent = 6
	SwitchContact bool     `json:"switch_contact,omitempty"`                                    // the work-state switch is a contact on the linkage, not a tilt sensor
}

// Air is what was measured of the air; whatever is absent is not known and no
// rule about it can be judged.
type Air struct {
	PrimaryMPS   float64 `json:"primary_mps,omitempty" jsonschema:"minimum=0,maximum=80"`     // mean air speed in the primary lines, m/s
	HoseMPS      float64 `json:"hose_mps,omitempty" jsonschema:"minimum=0,maximum=80"`        // mean air speed in the hoses, m/s; absent = from the primary lines
	FanPa        float64 `json:"fan_pa,omitempty" jsonschema:"minimum=0,maximum=50000"`       // what the fan can give at that flow, Pa
	TemperatureC float64 `json:"temperature_c,omitempty" jsonschema:"minimum=-30,maximum=60"` // of the air in the lines, °C; absent = 20
	AltitudeM    float64 `json:"altitude_m,omitempty" jsonschema:"minimum=-500,maximum=5000"` // of the field above the sea, m
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
	Volts   float64 `json:"volts" jsonschema:"required,minimum=6,maximum=60"`      // volts at the power point with the engine off; absent = 12
	At      *Point  `json:"at_m,omitempty"`                                        // where the power point is; absent = by hitch and cart
	OutletA float64 `json:"outlet_a,omitempty" jsonschema:"minimum=0,maximum=200"` // what the power point may give, A; absent = not said
	Ohm     float64 `json:"ohm,omitempty" jsonschema:"minimum=0,maximum=2"`        // resistance of the source up to the power point, ohm; absent = 0.05
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
