package evenness

import (
	"io"
	"math"
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/input/jsondoc"
)

// FieldVersion is the document version of evenness from counts.
const FieldVersion = "evenness/1"

// FieldDay is what the counts of a recorded day say of evenness.
type FieldDay struct {
	Runproof string         `json:"runproof"`            // FieldVersion
	Made     fit.Provenance `json:"made"`                // what made this document, and from what
	Drill    string         `json:"drill"`               // name of the drill
	GainsDay string         `json:"gains_day,omitempty"` // day of the catch test that the gains are from
	Products []ProductField `json:"products"`            // one for each product with sensed runs in the log
	Siblings []SiblingRise  `json:"siblings"`            // what runs of fertiliser that were blocked did to the others of their heads, at its worst
}

// Attention tells whether a person must look: a void gain, a run out of line, a
// run whose part changed, or siblings past a published rate.
func (d *FieldDay) Attention() bool {
	for _, s := range d.Siblings {
		if s.Rest == Past {
			return true
		}
	}
	for _, p := range d.Products {
		if len(p.Void) > 0 || len(p.OutOfLine) > 0 || p.Changed > 0 {
			return true
		}
	}
	return false
}

// Calibrated tells whether gains gave a CV between runs of any product.
func (d *FieldDay) Calibrated() bool {
	return slices.ContainsFunc(d.Products, func(p ProductField) bool { return p.CV != nil })
}

// Write writes the document as indented JSON.
func (d *FieldDay) Write(w io.Writer) error { return jsondoc.Write(w, d) }

// ProductField is one product of the day. Without gains there is no CV across
// runs, only each run's change over the day.
type ProductField struct {
	Product  drill.ProductID `json:"product"`            // id of the product
	Material string          `json:"material,omitempty"` // what it is
	SteadyS  float64         `json:"steady_s"`           // steady work with every run reporting, s
	Start    string          `json:"start,omitempty"`    // of that work, in the log's form of time
	End      string          `json:"end,omitempty"`      // of that work
	FaultS   float64         `json:"fault_s"`            // steady work besides that, left out because something was wrong, s
	Faulty   []drill.RunID   `json:"faulty"`             // runs left out because they were at fault in a fifth of the work or more
	Blocks   int             `json:"blocks"`             // stretches that the day was cut into, to see what scatters and what changes

	CV    *Estimate   `json:"cv"`     // between runs, counting and gain error taken off, with both in the interval; null without gains
	Parts *FieldParts `json:"parts"`  // what was taken off; null without gains
	WhyNo string      `json:"why_no"` // why there is no CV; empty where there is one
	Void  []NoGain    `json:"void"`   // runs whose gain does not hold any more, or that have none

	Runs      []RunField `json:"runs"`        // in the order of the drill
	Changed   int        `json:"changed"`     // runs whose part of their head changed for certain
	OutOfLine []Odd      `json:"out_of_line"` // by gains; empty without
	Division  *Division  `json:"division"`    // over heads, and within them, by gains; null without
	Tilts     []Tilt     `json:"tilts"`       // more on one side of a head, by gains
	Bands     []Band     `json:"bands"`       // where the CV lies on published scales
	Says      []string   `json:"says"`        // what the figures mean, in sentences
	Remarks   []string   `json:"remarks"`     // what the reader should know
}

// FieldParts says what the CV of counts over gains is made of:
//
//	seen^2 = between^2 + floor^2 + gain^2
type FieldParts struct {
	Seen       Estimate `json:"seen"`       // CV of the runs' counts over gains; its interval is that of a normal sample
	Floor      float64  `json:"floor"`      // what chance leaves in a run's mean over the day, from its scatter between blocks
	Dispersion float64  `json:"dispersion"` // that scatter's variance over the one of particles that come independently
	Gain       float64  `json:"gain"`       // error of the gains
	Runs       int      `json:"runs"`       // runs with a gain that holds
	Of         int      `json:"of"`         // open sensed runs of the product
}

// RunField is one run over the day.
type RunField struct {
	Run       drill.RunID `json:"run"`       // id of the run
	RateHz    float64     `json:"rate_hz"`   // counts a second in steady work
	Deviation *Estimate   `json:"deviation"` // from the mean of all runs, by gains: -0.2 is 20 % less; the interval holds counting and gain error; null without a gain
	Change    *Estimate   `json:"change"`    // of its part of its head from the first third of the work to the last: -0.2 is a fifth less; null where too little was recorded
	ChangeP   *float64    `json:"change_p"`  // family-wise: chance that any run of the product seems to change so much where none does
}

// ChangedForSure tells whether the run's part of its head changed by a tenth or
// more, and more than chance among all runs explains.
func (r RunField) ChangedForSure() bool {
	return r.Change != nil && r.ChangeP != nil && *r.ChangeP <= significant && math.Abs(r.Change.Value) >= toldChange
}
