package alarm

import (
	"runproof/drill"
	"runproof/fit"
)

// Version is the document version this package writes.
const Version = "rules/1"

// Rules is the rules document: what to type into the monitor, and all the
// figures it rests on. The fields down to Shares are fixed by the contract.
type Rules struct {
	Runproof  string  `json:"runproof"`   // Version
	IntervalS float64 `json:"interval_s"` // sample interval of the baseline, s
	// Rules has one rule a product, in the drill's order of products.
	Rules []Rule `json:"rules"`
	// Shares holds, for every sensed run that is open and alive, its part of
	// its head's total as the sensors count it.
	Shares map[drill.RunID]float64 `json:"shares"`

	Made     fit.Provenance `json:"made"`
	SpeedMPS float64        `json:"speed_mps"`            // speed that missed metres are reckoned at
	Allowed  float64        `json:"false_alarms_allowed"` // a day of 10 h of work, whole drill
	Blocked  float64        `json:"blocked_flow_left"`    // part of a blocked run's flow that is still counted
	Baseline Baseline       `json:"baseline"`             // what the log held
	Products []Product      `json:"products"`             // one a rule: choice, evidence, other styles
	Runs     []Run          `json:"runs"`                 // one a sensed, open run
	Total    TotalFlow      `json:"total_flow"`           // what a limit on total flow can and cannot see
	Warnings []string       `json:"warnings,omitempty"`   // what a person should know before keying in
}

// Rule is one product's alarm rule. A run is low in a sample when its count <
// Floor x share x (total of its head in that sample); the alarm sounds after
// low samples in a row that span HoldS.
type Rule struct {
	Product drill.ProductID `json:"product"`
	Floor   float64         `json:"floor"`
	HoldS   float64         `json:"hold_s"` // a whole number of intervals
	// FalsePerDay is the expected number of alarms on sound runs in 10 h of
	// work, all runs of the product together. An alarm that lasts is one alarm.
	FalsePerDay float64 `json:"false_alarms_per_day"`
	MissedM     Missed  `json:"missed_m"`
}

// Missed is the expected distance from the start of a fault to the alarm, in
// metres at the document's speed. Nil stands for "practically never caught":
// more than NeverM on average.
type Missed struct {
	Blocked *float64 `json:"blocked"` // fully blocked at once
	Half    *float64 `json:"half"`    // half its flow lost at once
}

// Baseline says what the log held and what of it was used.
type Baseline struct {
	Samples    int     `json:"samples"`        // lines of the log
	SpanS      float64 `json:"span_s"`         // first to last line, s
	UsedS      float64 `json:"used_s"`         // settled work used, s, mean of the heads
	GapSamples int     `json:"gaps"`           // lines that came late: samples are missing before them
	NullShare  float64 `json:"null_share"`     // share of cells not reported, over the sensed open runs
	HasWork    bool    `json:"has_work_state"` // the log says when the drill was in the ground
}

// Product is the evidence behind one product's rule.
type Product struct {
	Product drill.ProductID `json:"product"`
	Runs    int             `json:"runs"`    // runs the rule watches
	Allowed float64         `json:"allowed"` // its part of the false alarms allowed
	// PerSample is the mean count of a run in a sample, and Fano variance/mean
	// of it given its head's total, pooled over the runs: 1 is pure chance.
	PerSample float64 `json:"count_per_sample"`
	Spread    Spread  `json:"spread"`
	// Observed compares the baseline itself with what the law of counts says.
	Observed []Observed `json:"observed"`
	// Choice is the best rule of each style, the contract's first.
	Choice   []Choice  `json:"styles"`
	Frontier []Point   `json:"frontier"` // best missed metres at each budget, every style
	Best     Yardstick `json:"best_possible"`
}

// Spread is how a share wavers beyond chance: its variance relative to the
// share squared, in parts by how long it lasts. Zero is a steady share.
type Spread struct {
	Total float64 `json:"total"`            // all of it
	Fast  float64 `json:"fast"`             // remembered for FastS: swirl
	FastS float64 `json:"fast_s,omitempty"` // time constant, s
	Slow  float64 `json:"slow"`             // remembered for SlowS: drift
	SlowS float64 `json:"slow_s,omitempty"` // time constant, s
	Under bool    `json:"underdispersed"`   // spread less than chance: dead time; the plain law is used
}

// Observed compares counted spells of low samples with the law's.
type Observed struct {
	Floor    float64 `json:"floor"`
	HoldS    float64 `json:"hold_s"`
	Counted  int     `json:"counted"`  // spells at least so long, in the held-out part
	Expected float64 `json:"expected"` // by the law fitted to the first part
}

// Choice is the best rule of one style.
type Choice struct {
	Style       Style   `json:"style"`
	Says        string  `json:"says"`               // the rule in words
	WindowS     float64 `json:"window_s,omitempty"` // running mean's length, s
	Floor       float64 `json:"floor"`
	HoldS       float64 `json:"hold_s"`
	FalsePerDay float64 `json:"false_alarms_per_day"`
	MissedM     Missed  `json:"missed_m"`
	None        bool    `json:"none,omitempty"` // no rule of this style keeps the budget
}

// Point is one point of the plot of missed metres against false alarms.
type Point struct {
	Style       Style   `json:"style"`
	Allowed     float64 `json:"allowed"`
	Floor       float64 `json:"floor"`
	HoldS       float64 `json:"hold_s"`
	FalsePerDay float64 `json:"false_alarms_per_day"`
	MissedM     Missed  `json:"missed_m"`
}

// Yardstick is what the best sequential test of a run's share (likelihood-ratio
// cumulative sum) would achieve at the product's false alarms, for a run of
// middling share.
type Yardstick struct {
	FalseSamples float64 `json:"samples_between_false_alarms"` // of one run
	MissedM      Missed  `json:"missed_m"`
	// BoundM is Lorden's leading term ln(samples)/divergence, in metres.
	BoundM Missed `json:"lorden_bound_m"`
	// MetresPerSample is the least that anything can do: it must see one sample.
	MetresPerSample float64 `json:"metres_per_sample"`
}

// Run is what the baseline says of one run.
type Run struct {
	Run       drill.RunID `json:"run"`
	Port      string      `json:"port"`
	Samples   int         `json:"samples"` // used
	PerSample float64     `json:"count_per_sample"`
	Share     float64     `json:"share"`
	SE        float64     `json:"share_se"`
	Phi       float64     `json:"phi"` // over-dispersion of the beta-binomial law, 1/(alpha+beta)
	PhiSE     float64     `json:"phi_se"`
	Fault     string      `json:"fault,omitempty"` // why the run was left out, in words
}

// TotalFlow says what a limit on the product's total flow can and cannot see.
type TotalFlow struct {
	Says     []string       `json:"says"` // plain statements with this drill's numbers
	Products []TotalProduct `json:"products"`
}

// TotalProduct holds the numbers behind the statements.
type TotalProduct struct {
	Product   drill.ProductID `json:"product"`
	Runs      int             `json:"runs"`
	Heads     int             `json:"heads"`
	WindowS   float64         `json:"window_s"`    // the total is averaged over this, s
	Swing     float64         `json:"swing"`       // its natural s.d. from one minute's mean, relative
	LowLimit  float64         `json:"low_limit"`   // lowest limit worth setting, relative to the running mean
	OneRun    float64         `json:"one_run"`     // part of the total that one run is
	OneHead   float64         `json:"one_head"`    // part that the smallest head is
	RunsToSee int             `json:"runs_to_see"` // runs that must lose all product, unshared, to fall below the limit
}
