package simulate

import (
	"io"
	"slices"

	"runproof/drill"
	"runproof/input/yamldoc"
	"runproof/review"
)

// Version is the document version this package reads.
const Version = "scenario/1"

// Scenario is what shall be recorded. Times in it are seconds from the start of
// the recording.
type Scenario struct {
	Runproof  string         `json:"runproof" jsonschema:"required"` // Version
	Kind      Kind           `json:"kind" jsonschema:"required"`
	Seed      uint64         `json:"seed"`
	DrillSeed uint64         `json:"drill_seed"` // of the drill's outlets and sensors: the same in all its recordings
	Start     string         `json:"start"`      // RFC 3339, or decimal seconds
	IntervalS float64        `json:"interval_s" jsonschema:"exclusiveMinimum=0,maximum=10"`
	Hours     float64        `json:"hours" jsonschema:"exclusiveMinimum=0,maximum=24"` // of a day or baseline
	Flow      []ProductFlow  `json:"flow"`
	Law       Law            `json:"law"`
	Field     Field          `json:"field"`
	Lags      []HeadLag      `json:"lags"` // heads whose product takes another time than the law's; not of a walk
	Sections  []SectionSpell `json:"sections"`
	Rates     []RateStep     `json:"rates"`
	Recorder  Recorder       `json:"recorder"`
	Faults    []Fault        `json:"faults"`
	Fading    []FadingSensor `json:"fading"` // sensors that grow blind
	Walk      Walk           `json:"walk"`
	Catch     Catch          `json:"catch"` // the catch test

	doc *yamldoc.Document // where its values stand; nil unless read
}

// ProductFlow sets the particles that pass one open run in a second at the
// drill's usual speed. Without it the product's rate and mass of 1000 particles
// tell.
type ProductFlow struct {
	Product drill.ProductID `json:"product" jsonschema:"required"`
	PerRunS float64         `json:"per_run_s" jsonschema:"required,exclusiveMinimum=0,maximum=5000"`
}

// Law is how particles and sensors behave.
type Law struct {
	Dispersion  float64 `json:"dispersion" jsonschema:"minimum=0,maximum=2"`    // variance = mu + dispersion mu^2
	PulseHz     float64 `json:"pulse_hz" jsonschema:"minimum=0,maximum=50"`     // of the meter
	PulseSwing  float64 `json:"pulse_swing" jsonschema:"minimum=0,maximum=1"`   // A in 1 + A cos
	DriftSD     float64 `json:"drift_sd" jsonschema:"minimum=0,maximum=0.5"`    // of a run's share
	DriftS      float64 `json:"drift_s" jsonschema:"exclusiveMinimum=0"`        // its correlation time
	GainSD      float64 `json:"gain_sd" jsonschema:"minimum=0,maximum=1"`       // of the sensors, log-normal
	ShareSD     float64 `json:"share_sd" jsonschema:"minimum=0,maximum=0.5"`    // of the outlets, log-normal
	DeadTimeMS  float64 `json:"dead_time_ms" jsonschema:"minimum=0,maximum=20"` // of the counters
	NoisePerS   float64 `json:"noise_per_s" jsonschema:"minimum=0,maximum=500"` // counted without flow
	StartLagS   float64 `json:"start_lag_s" jsonschema:"minimum=0,maximum=30"`  // command to flow at the sensor
	StopLagS    float64 `json:"stop_lag_s" jsonschema:"minimum=0,maximum=30"`   // command to no flow
	SiblingRise float64 `json:"sibling_rise" jsonschema:"minimum=0,maximum=1"`  // part of a lost run's product that its siblings take

	Paralyzable     bool    `json:"paralyzable"`                                           // a particle missed in the dead time keeps the counter busy anew
	NoiseLiftedPerS float64 `json:"noise_lifted_per_s" jsonschema:"minimum=0,maximum=500"` // counted on top while the drill is lifted and shakes, 1/s
}

// Field is where and how the drill works: up and down along a heading.
type Field struct {
	LatDeg     float64 `json:"lat" jsonschema:"minimum=-85,maximum=85"`
	LonDeg     float64 `json:"lon" jsonschema:"minimum=-180,maximum=180"`
	HeadingDeg float64 `json:"heading_deg" jsonschema:"minimum=0,maximum=360"`
	PassM      float64 `json:"pass_m" jsonschema:"exclusiveMinimum=10,maximum=20000"`
	TurnS      float64 `json:"turn_s" jsonschema:"exclusiveMinimum=1,maximum=600"`
	OverlapM   float64 `json:"overlap_m" jsonschema:"minimum=0,maximum=50"` // of neighbouring passes

	TurnRadiusM float64 `json:"turn_radius_m" jsonschema:"exclusiveMinimum=0,maximum=50"` // tightest circle of a headland turn, m
	SpeedSD     float64 `json:"speed_sd" jsonschema:"minimum=0,maximum=0.3"`              // how the speed wavers, part of the usual speed
	StopsPerH   float64 `json:"stops_per_h" jsonschema:"minimum=0,maximum=60"`            // how often the drill comes to a stand in the ground, 1/h
	StopS       float64 `json:"stop_s" jsonschema:"minimum=0,maximum=3600"`               // how long it stands then, s
}

// HeadLag is how long product takes from the command to the sensors of a head.
type HeadLag struct {
	Head   drill.HeadID `json:"head" jsonschema:"required"`                         // id of the head
	StartS float64      `json:"start_s" jsonschema:"required,minimum=0,maximum=60"` // command to flow, s
	StopS  float64      `json:"stop_s" jsonschema:"required,minimum=0,maximum=60"`  // command to no flow, s
}

// SectionSpell shuts a section off for a while.
type SectionSpell struct {
	Section drill.SectionID `json:"section" jsonschema:"required"`
	AtS     float64         `json:"at_s" jsonschema:"required,minimum=0"`
	ForS    float64         `json:"for_s" jsonschema:"required,exclusiveMinimum=0"`
}

// RateStep changes the rate of a product from a time on.
type RateStep struct {
	Product drill.ProductID `json:"product" jsonschema:"required"`
	AtS     float64         `json:"at_s" jsonschema:"required,minimum=0"`
	Factor  float64         `json:"factor" jsonschema:"required,exclusiveMinimum=0,maximum=5"`
}

// Recorder is what the recording box does to the data.
type Recorder struct {
	MissingShare float64 `json:"missing_share" jsonschema:"minimum=0,maximum=0.9"`      // values not reported, at random
	LostLines    float64 `json:"lost_lines" jsonschema:"minimum=0,maximum=0.9"`         // whole lines; the next carries their counts
	RestartsPerH float64 `json:"restarts_per_h" jsonschema:"minimum=0,maximum=60"`      // how often each node restarts and reports nothing meanwhile, 1/h
	RestartS     float64 `json:"restart_s" jsonschema:"exclusiveMinimum=0,maximum=600"` // how long a restart takes, s, give or take a half
	NoPosition   bool    `json:"no_position"`
	NoSpeed      bool    `json:"no_speed"`
	NoWork       bool    `json:"no_work"`
}

// FadingSensor is a sensor that sees less and less of what passes it, as one does
// that dust settles on: exponentially, from the start of the recording.
type FadingSensor struct {
	Run     drill.RunID `json:"run" jsonschema:"required"`                                     // the run whose sensor fades
	PerHour float64     `json:"per_hour" jsonschema:"required,exclusiveMinimum=0,maximum=0.9"` // part of its count lost in an hour of recording
}

// Fault is one thing that goes wrong. Run, Head, Product or Node says where, by
// kind. Left is the part of the flow that stays, for the kinds that lose some.
type Fault struct {
	Kind    review.Kind     `json:"kind" jsonschema:"required"`
	Run     drill.RunID     `json:"run"`
	Head    drill.HeadID    `json:"head"`
	Product drill.ProductID `json:"product"`
	Node    string          `json:"node"`
	AtS     float64         `json:"at_s" jsonschema:"required,minimum=0"`
	ForS    float64         `json:"for_s" jsonschema:"required,exclusiveMinimum=0"`
	FallS   float64         `json:"fall_s" jsonschema:"minimum=0,maximum=600"`
	Left    float64         `json:"left" jsonschema:"minimum=0,maximum=1"`
	How     SensorFault     `json:"how"` // of sensor_lost
}

// Walk is the yard test.
type Walk struct {
	Method       Method          `json:"method"`
	PinchS       float64         `json:"pinch_s" jsonschema:"exclusiveMinimum=0,maximum=60"`
	PaceS        float64         `json:"pace_s" jsonschema:"exclusiveMinimum=1,maximum=600"` // from one run to the next
	Left         float64         `json:"left" jsonschema:"minimum=0,maximum=1"`              // flow that passes a pinched hose
	MarkOffsetS  float64         `json:"mark_offset_s" jsonschema:"minimum=-3600,maximum=3600"`
	MarkJitterS  float64         `json:"mark_jitter_s" jsonschema:"minimum=0,maximum=10"`
	Shuffle      bool            `json:"shuffle"` // runs in any order
	Swaps        [][]drill.RunID `json:"swaps"`   // hoses passed round: the first is found where the second should be, ...
	DeadSensors  []drill.RunID   `json:"dead_sensors"`
	SharedHoses  [][]drill.RunID `json:"shared_hoses"` // pairs joined by mistake: each pinch shows on both
	Unwalked     []drill.RunID   `json:"unwalked"`
	UnmarkedRuns []drill.RunID   `json:"unmarked"` // pinched but not noted
}

// Defaults is a usual scenario of the kind; a file overrides what it names.
func Defaults() Scenario {
	return Scenario{
		Start: "2026-05-12T08:00:00Z", IntervalS: 0.5, Hours: 1,
		Law: Law{
			Dispersion: 0.03, PulseHz: 2.2, PulseSwing: 0.2, DriftSD: 0.02, DriftS: 150, GainSD: 0.15, ShareSD: 0.04,
			DeadTimeMS: 0.2, NoisePerS: 0.2, StartLagS: 2, StopLagS: 2.5, SiblingRise: 1,
		},
		Field:    Field{LatDeg: 52, LonDeg: -106.5, PassM: 800, TurnS: 25, TurnRadiusM: 8, SpeedSD: 0.03, StopS: 40},
		Recorder: Recorder{RestartS: 4},
		Walk:     Walk{PinchS: 3, PaceS: 8, Left: 0.05, MarkJitterS: 0.8},
		Catch:    Catch{Repeats: 3, ForS: 60, PauseS: 20, WeighSD: 0.01},
	}
}

// Read reads a scenario; name is the file's name for messages. The error is
// input.Faults with every fault of the document. What must agree with a fit is
// checked by Check.
func Read(r io.Reader, name string) (*Scenario, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return nil, err
	}
	if err := doc.WantVersion(Version); err != nil {
		return nil, err
	}
	s := Defaults()
	doc.Decode(&s)
	for i, f := range s.Faults {
		if doc.Sound("faults", i, "kind") && f.Kind == review.Unknown {
			doc.Fault(doc.At("faults", i, "kind"), "use blocked, restricted, sensor_lost, noisy, head_starved, product_out or no_data", "a fault needs a kind")
		}
	}
	if _, err := s.startTime(); err != nil && doc.Sound("start") {
		doc.Fault(doc.At("start"), "", "%v", err)
	}
	if err := doc.Err(); err != nil {
		return nil, err
	}
	s.doc = doc
	return &s, nil
}

// steps of a product's rate, in order of time.
func (s *Scenario) steps(p drill.ProductID) []RateStep {
	var out []RateStep
	for _, r := range s.Rates {
		if r.Product == p {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b RateStep) int {
		if a.AtS < b.AtS {
			return -1
		}
		if a.AtS > b.AtS {
			return 1
		}
		return 0
	})
	return out
}
