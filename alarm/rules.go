package alarm

import (
	"fmt"
	"io"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/input/jsondoc"
)

// Version is the document version this package writes.
const Version = "rules/1"

// Rules is rules.json: what to key in, and what it will do.
type Rules struct {
	Runproof   string                  `json:"runproof"` // Version
	Made       fit.Provenance          `json:"made"`
	IntervalS  float64                 `json:"interval_s"`      // between samples
	SpeedMPS   float64                 `json:"speed_mps"`       // at which metres are reckoned
	Allowed    float64                 `json:"allowed_per_day"` // false alarms per 10 h of work, whole drill
	Rules      []Rule                  `json:"rules"`           // one a product
	Shares     map[drill.RunID]float64 `json:"shares"`          // each run's share of its head's counts
	Frontier   []Working               `json:"frontier"`        // other working points, by product, floor and hold
	OtherRules []OtherRule             `json:"other_rules"`     // the same for monitors that compare with something else
	Totals     []TotalLimit            `json:"totals"`          // what a limit on total flow can see
	Best       []Yardstick             `json:"best_possible"`
	Laws       []RunLaw                `json:"laws"`       // what was fitted
	Validation []Validation            `json:"validation"` // held-out part against prediction
	WorkHours  float64                 `json:"work_hours"` // of the baseline, settled
	Warnings   []string                `json:"warnings"`
}

// Missed is the expected travel from the start of a fault to the alarm, metres;
// nil when it is practically never caught (not within ten hours).
type Missed struct {
	Blocked *float64 `json:"blocked"` // run shut at once
	Half    *float64 `json:"half"`    // run that lost half its flow
}

// Rule is the alarm of one product: low below Floor x share x head total,
// sounding when low samples in a row span HoldS.
type Rule struct {
	Product           drill.ProductID `json:"product"`
	Floor             float64         `json:"floor"`
	HoldS             float64         `json:"hold_s"`
	FalseAlarmsPerDay float64         `json:"false_alarms_per_day"` // per 10 h of work, all runs of the product
	Missed            Missed          `json:"missed_m"`
}

// Working is a rule that could have been chosen.
type Working = Rule

// Style is what a monitor compares a run's count with. The zero value is the
// run's share of its head.
type Style int

// The styles.
const (
	OfHeadShare Style = iota // floor x share x total of the head
	OfOwnMean                // floor x the run's own running mean
	OfAllRuns                // floor x the mean of all runs of the product
)

var styleWords = []string{"share_of_head", "own_running_mean", "mean_of_all_runs"}

// String is the word used in rules.json.
func (s Style) String() string { return styleWords[s] }

// MarshalText is String.
func (s Style) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads a word of rules.json.
func (s *Style) UnmarshalText(b []byte) error {
	for i, w := range styleWords {
		if w == string(b) {
			*s = Style(i)
			return nil
		}
	}
	near, _ := input.Nearest(string(b), styleWords)
	return fmt.Errorf("%q is no style of rule; perhaps %s", b, near)
}

// OtherRule is the best rule of another style, so that the technician can use
// what the monitor has.
type OtherRule struct {
	Style Style `json:"style"`
	Rule
	MeanS float64 `json:"mean_s,omitempty"` // length of the running mean
	Says  string  `json:"says"`
}

// TotalLimit says what a limit on the product's total flow can see.
type TotalLimit struct {
	Product   drill.ProductID `json:"product"`
	Runs      int             `json:"runs"`
	SpreadPct float64         `json:"spread_pct"`  // of the total from sample to sample, standard deviation
	LowPct    float64         `json:"low_pct"`     // of the usual total: a limit that keeps quiet
	HighPct   float64         `json:"high_pct"`    //
	OneRunPct float64         `json:"one_run_pct"` // of the total that one run is
	SeesPct   float64         `json:"sees_pct"`    // fall of the total that the low limit sees
	Says      string          `json:"says"`
}

// Yardstick is what an optimal sequential test would achieve at the same false
// alarms, on a middling run of the product.
type Yardstick struct {
	Product drill.ProductID `json:"product"`
	Missed  Missed          `json:"missed_m"`
}

// RunLaw is what was fitted for one run.
type RunLaw struct {
	Run        drill.RunID `json:"run"`
	Share      float64     `json:"share"`
	ShareSE    float64     `json:"share_se"`
	Spread     float64     `json:"spread"`      // relative sd of the share beyond counting
	WhiteSD    float64     `json:"white_sd"`    // part that changes from sample to sample
	SwirlSD    float64     `json:"swirl_sd"`    // part that lasts fractions of a second
	SwirlS     float64     `json:"swirl_s"`     // its correlation time
	DriftSD    float64     `json:"drift_sd"`    // part that lasts minutes
	Count      float64     `json:"count"`       // usual particles a sample
	FalseShare float64     `json:"false_share"` // part of the product's false alarms that this run makes
}

// Validation holds the held-out part of the baseline against what the first
// part predicts, for low spells of K samples: short enough to be counted.
type Validation struct {
	Product  drill.ProductID `json:"product"`
	K        int             `json:"k"`
	Expected float64         `json:"expected"`
	Observed int             `json:"observed"`
	Agrees   bool            `json:"agrees"`
}

// Read reads a rules document; name is the file's name for messages.
func Read(r io.Reader, name string) (*Rules, error) {
	var d Rules
	form := jsondoc.Form{What: "a rules", Version: Version, Command: "runproof tune"}
	if err := jsondoc.Read(r, name, form, &d, &d.Runproof); err != nil {
		return nil, err
	}
	return &d, nil
}

// Write writes the rules as indented JSON, the same bytes for the same rules.
func (d *Rules) Write(w io.Writer) error {
	return jsondoc.Write(w, d)
}
