package evenness

import (
	"io"

	"runproof/drill"
	"runproof/fit"
	"runproof/input/jsondoc"
)

// CatchVersion is the document version of a catch test.
const CatchVersion = "catch/1"

// Catch is what the weighed bags say of a drill.
type Catch struct {
	Runproof string         `json:"runproof"`      // CatchVersion
	Made     fit.Provenance `json:"made"`          // what made this document, and from what
	Drill    string         `json:"drill"`         // name of the drill
	Day      string         `json:"day,omitempty"` // day of the test, year-month-day; absent = not said
	Products []ProductCatch `json:"products"`      // one for each product that was caught
	Siblings []SiblingRise  `json:"siblings"`      // what a blocked fertiliser run does to the others
}

// Attention tells whether a person must look: a run out of line, a run that gave
// nothing, bags that were not weighed or do not go together, or a fertiliser
// that one blocked run takes past a published rate.
func (c *Catch) Attention() bool {
	for _, p := range c.Products {
		if len(p.OutOfLine) > 0 || len(p.Remarks) > 0 || len(p.Missing) > 0 {
			return true
		}
	}
	for _, s := range c.Siblings {
		if s.Rest == Past {
			return true
		}
	}
	return false
}

// Write writes the document as indented JSON.
func (c *Catch) Write(w io.Writer) error { return jsondoc.Write(w, c) }

// Of returns what was caught of the product, and whether anything was.
func (c *Catch) Of(p drill.ProductID) (*ProductCatch, bool) {
	for i := range c.Products {
		if c.Products[i].Product == p {
			return &c.Products[i], true
		}
	}
	return nil, false
}

// ProductCatch is the catch test of one product. Every CV is a part of the mean:
// 0.05 is 5 %.
type ProductCatch struct {
	Product  drill.ProductID `json:"product"`            // id of the product
	Material string          `json:"material,omitempty"` // what it is
	TKWG     float64         `json:"tkw_g,omitempty"`    // mass of 1000 particles, g; absent = not said
	Repeats  []Repeat        `json:"repeats"`            // by number
	Runs     []RunCatch      `json:"runs"`               // head by head, outlet 1 first; runs without any bag are not here
	Missing  []Bag           `json:"missing,omitempty"`  // bags that were not weighed; their grams mean nothing

	MeanG  float64  `json:"mean_g"`     // of a run and an average repeat, g
	CV     Estimate `json:"cv"`         // of the run means, s with n - 1; 95 % interval of a normal sample, exact (noncentral t)
	Parts  Parts    `json:"parts"`      // what the CV is made of
	InLine Estimate `json:"cv_in_line"` // the CV with the runs out of line left out; the same as cv where none is

	OutOfLine []Odd     `json:"out_of_line"` // runs that do not belong to the scatter of the others, the oddest first
	Division  Division  `json:"division"`    // over heads, and within them
	Tilts     []Tilt    `json:"tilts"`       // more on one side of a head
	Outlets   []Outlets `json:"outlets"`     // outlet numbers alike on all heads
	Hose      *Hose     `json:"hose"`        // effect of a run's length; null where lengths hardly differ
	Bands     []Band    `json:"bands"`       // where the CV lies on published scales
	Says      []string  `json:"says"`        // what the figures mean, in sentences
	Remarks   []string  `json:"remarks"`     // what is wrong with the bags, or with runs
}

// Repeat is one filling of bags.
type Repeat struct {
	Repeat int     `json:"repeat"`  // its number
	Bags   int     `json:"bags"`    // weighed
	TotalG float64 `json:"total_g"` // of the weighed bags, g
	Factor float64 `json:"factor"`  // how long or rich it was: 1 is the average repeat
}

// RunCatch is one run.
type RunCatch struct {
	Run       drill.RunID  `json:"run"`       // id of the run
	Head      drill.HeadID `json:"head"`      // its head
	Outlet    int          `json:"outlet"`    // its outlet, from 1
	Row       int          `json:"row"`       // its row, 1 = leftmost
	Grams     []*float64   `json:"grams"`     // as weighed, by repeats, g; null = not weighed
	MeanG     Estimate     `json:"mean_g"`    // of its bags, each at the length of an average repeat, g; the interval is that of repeat scatter
	Deviation float64      `json:"deviation"` // from the mean of all runs: -0.2 is 20 % less
	Particles *float64     `json:"particles"` // in all its bags; null where tkw_g is not said
}

// Parts says what the CV of the run means is made of:
//
//	cv^2 = between^2 + repeat^2 / bags of a run
type Parts struct {
	How         string    `json:"how"`          // what parts them: repeats, counting floor, or nothing
	Between     *Estimate `json:"between"`      // between runs, the rest taken off; 95 % interval; null where it cannot be told
	Repeat      *Estimate `json:"repeat"`       // scatter of one run's bags from repeat to repeat, weighing in it; null with one repeat
	RepeatDF    int       `json:"repeat_df"`    // degrees of freedom of repeat
	BagsPerRun  float64   `json:"bags_per_run"` // harmonic mean
	FloorBag    *float64  `json:"floor_bag"`    // counting floor of one bag, 1/sqrt(particles); null where tkw_g is not said
	FloorMean   *float64  `json:"floor_mean"`   // counting floor of a run's mean over its bags; it is part of repeat, not on top of it
	RunsDiffer  *Test     `json:"runs_differ"`  // whether runs differ more than their bags scatter; null with one repeat
	TwoDivision *float64  `json:"two_division"` // CV of dividing over heads, then over outlets, by the two parts of division; null with one head
}

// catchForm is what ReadCatch expects.
var catchForm = jsondoc.Form{What: "a catch test", Version: CatchVersion, Command: "runproof catch"}

// ReadCatch reads a document as Write writes it; name is the file's name for
// messages.
func ReadCatch(r io.Reader, name string) (*Catch, error) {
	var c Catch
	if err := jsondoc.Read(r, name, catchForm, &c, &c.Runproof); err != nil {
		return nil, err
	}
	return &c, nil
}
