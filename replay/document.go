package replay

import (
	"io"

	"runproof/drill"
	"runproof/fit"
	"runproof/input/jsondoc"
	"runproof/review"
)

// Version is the document version this package writes.
const Version = "replay/1"

// Document is replay.json: what rules would have done on a recorded day.
type Document struct {
	Runproof    string         `json:"runproof"`        // Version
	Made        fit.Provenance `json:"made"`            // what made this document, and from what
	Drill       string         `json:"drill"`           // the drill's name
	FitRevision int            `json:"fit_revision"`    // of the fit that was used
	Start       string         `json:"start"`           // first sample, in the log's form of time
	End         string         `json:"end"`             // last sample
	Samples     int            `json:"samples"`         // lines of the log
	IntervalS   float64        `json:"interval_s"`      // between samples, s
	WorkHours   float64        `json:"work_hours"`      // in the ground, h
	WorkMetres  float64        `json:"work_metres"`     // travelled in the ground, m
	Allowed     float64        `json:"allowed_per_day"` // false alarms allowed per 10 h of work, whole drill
	Rules       []Outcome      `json:"rules"`           // one for each rules document, in the order given
	Best        Best           `json:"best"`            // floors and holds that would have missed least on this day
	Curve       []Point        `json:"curve"`           // of each product the rules that no other betters on this day, by false alarms
	Warnings    []string       `json:"warnings"`        // what a reader should know of the figures
}

// Outcome is what one rules document would have done.
type Outcome struct {
	Name     string      `json:"name"`     // file name of the rules
	Products []Key       `json:"products"` // what was keyed in
	Caught   int         `json:"caught"`   // events for which an alarm sounded
	Missed   int         `json:"missed"`   // events that lost product on a run and for which none did
	MissedM  float64     `json:"missed_m"` // travel before the alarm, or all of it, over the events that lost product on a run, m
	Events   []Catch     `json:"events"`   // one for each event of the day, in its order
	False    FalseAlarms `json:"false"`    // alarms that belong to no event
}

// Key is one product's rule as it was keyed in, with what it did. Caught and
// Missed are of the events that lost product on a run: what a rule on shares is
// for.
type Key struct {
	Product     drill.ProductID `json:"product"`      // id of the product
	Floor       float64         `json:"floor"`        // part of a run's share of its head under which it is low
	HoldS       float64         `json:"hold_s"`       // span of the low samples in a row, s
	HoldSamples int             `json:"hold_samples"` // the same in samples of this log
	FalseCount  int             `json:"false_count"`  // alarms of settled work that belong to no event
	Caught      int             `json:"caught"`       // events that lost product on a run and for which an alarm sounded
	Missed      int             `json:"missed"`       // those for which none did
	MissedM     float64         `json:"missed_m"`     // travel before the alarm, or all of it, over those events, m
	TakenM      float64         `json:"taken_m"`      // travel while those events lasted, m: what no alarm at all would have missed
}

// Catch is what a rule did about one event.
type Catch struct {
	Event   int             `json:"event"`             // number of the event in events.json
	Kind    review.Kind     `json:"kind"`              // what went wrong
	Run     drill.RunID     `json:"run,omitempty"`     // the run that it concerns; absent where it concerns more
	Head    drill.HeadID    `json:"head,omitempty"`    // its head
	Product drill.ProductID `json:"product,omitempty"` // its product
	Node    string          `json:"node,omitempty"`    // the silent node
	Metres  float64         `json:"metres"`            // travel in work while the event lasted, m
	Alarms  int             `json:"alarms"`            // alarms that belong to it; 0 = never caught
	By      drill.RunID     `json:"by,omitempty"`      // run whose alarm sounded first
	AfterS  *float64        `json:"after_s"`           // from the event's start to that alarm, s; null = never
	AfterM  *float64        `json:"after_m"`           // travel in work until then, m; null = never
	Why     string          `json:"why,omitempty"`     // why a rule of this kind can hardly see it
}

// FalseAlarms are the alarms that belong to no event. Those whose lows began
// within nine seconds of the command to sow are counted apart: product has not
// arrived everywhere then, and the rules' design leaves them out.
type FalseAlarms struct {
	Count     int     `json:"count"`     // in settled work
	Starting  int     `json:"starting"`  // and those of the first nine seconds of work: none where the monitor waits for the flow
	PerDay    float64 `json:"per_day"`   // of settled work, per 10 h of work
	Low       float64 `json:"low"`       // lower end of the exact 95 % interval of that rate
	High      float64 `json:"high"`      // its upper end
	Predicted float64 `json:"predicted"` // what the rules document says of settled work, per 10 h
	Listed    []Alarm `json:"listed"`    // the first of them, in order of time
}

// Alarm is one alarm.
type Alarm struct {
	Run  drill.RunID `json:"run"`  // run that it is about
	Time string      `json:"time"` // when it sounded, in the log's form of time

	ns int64
}

// Best is the rule for each product that would have missed the fewest metres
// on this day with no more than the false alarms that the search was given. It
// is fitted to this day.
type Best struct {
	Products   []Point `json:"products"`    // one for each product
	FalseCount int     `json:"false_count"` // false alarms of them together
	MostFalse  int     `json:"most_false"`  // false alarms that the search was given: what the allowed rate leaves for the day's hours, or what the first rules made where that is more
	MissedM    float64 `json:"missed_m"`    // of them together, m
	Remark     string  `json:"remark"`      // what the choice is worth
}

// Point is one rule as it did on this day.
type Point struct {
	Product    drill.ProductID `json:"product"`     // id of the product
	Floor      float64         `json:"floor"`       // part of a run's share of its head under which it is low
	HoldS      float64         `json:"hold_s"`      // span of the low samples in a row, s
	FalseCount int             `json:"false_count"` // alarms of settled work that belong to no event
	Caught     int             `json:"caught"`      // events that lost product on a run and for which it sounded
	MissedM    float64         `json:"missed_m"`    // travel before the alarm, or all of it, over those events, m

	samples int
}

// Read reads a replay document; name is the file's name for messages.
func Read(r io.Reader, name string) (*Document, error) {
	var d Document
	form := jsondoc.Form{What: "a replay", Version: Version, Command: "runproof replay"}
	if err := jsondoc.Read(r, name, form, &d, &d.Runproof); err != nil {
		return nil, err
	}
	return &d, nil
}

// Write writes the document as indented JSON, the same bytes for the same
// document.
func (d *Document) Write(w io.Writer) error { return jsondoc.Write(w, d) }

// Attention says whether a person should look: the first rules let an event
// that lost product on a run go by, or rang for nothing more often than is
// allowed, by more than chance.
func (d *Document) Attention() bool {
	o := d.Rules[0]
	return o.Missed > 0 || o.False.Low > d.Allowed
}
