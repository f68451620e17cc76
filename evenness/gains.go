package evenness

import (
	"io"

	"runproof/drill"
	"runproof/fit"
	"runproof/input/jsondoc"
)

// GainsVersion is the document version of calibrated gains.
const GainsVersion = "gains/1"

// Gains are what each run's sensor counts of a known number of particles, from a
// catch test that was recorded. They hold for the sensor, its port and the
// product: after a swap, a run's gain is void (see Void).
type Gains struct {
	Runproof string         `json:"runproof"`      // GainsVersion
	Made     fit.Provenance `json:"made"`          // what made this document, and from what
	Drill    string         `json:"drill"`         // name of the drill
	Revision int            `json:"revision"`      // of the fit by which runs were found at ports
	Day      string         `json:"day,omitempty"` // day of the catch test, year-month-day; absent = not said
	Products []ProductGains `json:"products"`      // one for each product that was calibrated
}

// ProductGains are the gains of one product.
type ProductGains struct {
	Product  drill.ProductID `json:"product"`            // id of the product
	Material string          `json:"material,omitempty"` // what it was: gains of another product are others
	TKWG     float64         `json:"tkw_g,omitempty"`    // mass of 1000 particles, g; absent = not said, and gains are counts per gram
	Repeats  int             `json:"repeats"`            // repeats with both bags and counts
	MeanGain float64         `json:"mean_gain"`          // over the runs: counts per particle, or per gram without tkw_g
	SpreadCV *float64        `json:"spread_cv"`          // of the gains from run to run, as a part of their mean; null with one run
	RepeatSD *float64        `json:"repeat_sd"`          // scatter of a run's gain from repeat to repeat, as a part of it; null with one repeat
	DF       int             `json:"df"`                 // degrees of freedom of repeat_sd; 0 = from counting alone
	Runs     []Gain          `json:"runs"`               // in the order of the drill
	Without  []NoGain        `json:"without"`            // runs that got none
	Remarks  []string        `json:"remarks"`            // what the reader should know
}

// Gain is what one run's sensor counts.
type Gain struct {
	Run      drill.RunID `json:"run"`      // id of the run
	Node     string      `json:"node"`     // serial of the node that listened
	Port     int         `json:"port"`     // port of that node
	Gain     Estimate    `json:"gain"`     // counts per particle, or per gram without tkw_g
	SD       float64     `json:"sd"`       // standard deviation of gain, in the same unit
	Relative float64     `json:"relative"` // gain over the mean gain of the product
	Counts   float64     `json:"counts"`   // counted in all repeats
	Grams    float64     `json:"grams"`    // caught in the same repeats, g
	RateHz   float64     `json:"rate_hz"`  // counts a second during the catch
}

// NoGain is a run that got no gain.
type NoGain struct {
	Run drill.RunID `json:"run"` // id of the run
	Why string      `json:"why"` // why not
}

// Attention tells whether a run got no gain or something is remarked.
func (g *Gains) Attention() bool {
	for _, p := range g.Products {
		if len(p.Without) > 0 || len(p.Remarks) > 0 {
			return true
		}
	}
	return false
}

// Write writes the document as indented JSON.
func (g *Gains) Write(w io.Writer) error { return jsondoc.Write(w, g) }

var gainsForm = jsondoc.Form{What: "a gains", Version: GainsVersion, Command: "runproof catch --log LOG --gains"}

// ReadGains reads a document as Write writes it; name is the file's name for
// messages.
func ReadGains(r io.Reader, name string) (*Gains, error) {
	var g Gains
	if err := jsondoc.Read(r, name, gainsForm, &g, &g.Runproof); err != nil {
		return nil, err
	}
	return &g, nil
}

// Of returns the gains of the product, and whether there are any.
func (g *Gains) Of(p drill.ProductID) (*ProductGains, bool) {
	for i := range g.Products {
		if g.Products[i].Product == p {
			return &g.Products[i], true
		}
	}
	return nil, false
}
