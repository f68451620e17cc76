package season

import (
	"io"

	"runproof/drill"
	"runproof/fit"
	"runproof/input/jsondoc"
	"runproof/review"
)

// Version is the document version this package writes.
const Version = "season/1"

// Document is season.json: many days of one drill.
type Document struct {
	Runproof    string         `json:"runproof"`     // Version
	Made        fit.Provenance `json:"made"`         // what made this document, and from what
	Drill       string         `json:"drill"`        // the drill's name
	FitRevision int            `json:"fit_revision"` // of the fit that was used
	Start       string         `json:"start"`        // first sample of the first day
	End         string         `json:"end"`          // last sample of the last
	WorkHours   float64        `json:"work_hours"`   // in the ground, all days, h
	WorkMetres  float64        `json:"work_metres"`  // travelled in the ground, m
	WorkHa      float64        `json:"work_ha"`      // worked, ha
	SkipAreaM2  float64        `json:"skip_area_m2"` // ground short of product, m2
	Days        []DayFigures   `json:"days"`         // in order of time
	Unread      []Unread       `json:"unread"`       // recordings that were left out
	Whole       []Line         `json:"whole"`        // of the whole drill, one for each trouble
	Products    []Line         `json:"products"`     // of each product
	Heads       []Line         `json:"heads"`        // of each head: its runs' troubles and its own
	Runs        []Line         `json:"runs"`         // of each sensed run
	Nodes       []Line         `json:"nodes"`        // of each node: its ports' troubles and its own
	Offenders   []Offender     `json:"offenders"`    // what stands out beyond chance, least likely first
	Tested      int            `json:"tested"`       // places and troubles that were looked at for it
	Repairs     []Aftermath    `json:"repairs"`      // before and after each repair
	Methods     []string       `json:"methods"`      // how the figures were reached
	Notes       []string       `json:"notes"`        // what a reader should know of them
}

// DayFigures is one day of the season.
type DayFigures struct {
	Recording  string    `json:"recording"`   // file name
	Start      string    `json:"start"`       // first sample
	End        string    `json:"end"`         // last sample
	WorkHours  float64   `json:"work_hours"`  // in the ground, h
	WorkMetres float64   `json:"work_metres"` // travelled in the ground, m
	WorkHa     float64   `json:"work_ha"`     // worked, ha
	Events     []Event   `json:"events"`      // what went wrong, in order of time
	Watched    []Watched `json:"watched"`     // hours of each run that was watched less than nine tenths of the drill's work; all others count whole
}

// Event is one event of a review as a season needs it.
type Event struct {
	Run     drill.RunID     `json:"run,omitempty"`     // absent for a whole head, product or node
	Head    drill.HeadID    `json:"head,omitempty"`    // absent for a whole product
	Product drill.ProductID `json:"product,omitempty"` // absent only for a node that serves several
	Node    string          `json:"node,omitempty"`    // serial
	Kind    review.Kind     `json:"kind"`              // what went wrong
	Start   string          `json:"start"`             // when it began
	End     string          `json:"end"`               // when it ended
	LastedS float64         `json:"lasted_s"`          // from start to end by the clock, turns included, s
	Metres  float64         `json:"metres"`            // travel in work meanwhile, m
	AreaM2  float64         `json:"area_m2"`           // ground short of product, m2; 0 of kinds that leave none
	Again   bool            `json:"again"`             // goes on from the event before it of the same place: not a new trouble
}

// Unread is a recording that was left out, and why.
type Unread struct {
	Recording string `json:"recording"` // file name
	Why       string `json:"why"`       // what is wrong, and the remedy
}

// Place is what a line is about. Exactly one of run, head, node and product is
// its name; all are absent for the whole drill.
type Place struct {
	Run     drill.RunID     `json:"run,omitempty"`     // id of the run
	Head    drill.HeadID    `json:"head,omitempty"`    // id of the head; of a run, the one it is on
	Node    string          `json:"node,omitempty"`    // serial of the node; of a run, the one that listens to it
	Product drill.ProductID `json:"product,omitempty"` // id of the product; of a run or head, what it carries
	Of      Level           `json:"of"`                // which of them is meant
}

// Line is how often and how long one place was in one trouble.
type Line struct {
	Place
	Trouble Trouble `json:"trouble"`  // what kind of thing went wrong
	Count   int     `json:"count"`    // troubles
	Events  int     `json:"events"`   // events that they are made of
	Days    int     `json:"days"`     // recordings in which there was one
	LastedS float64 `json:"lasted_s"` // all together, by the clock, turns included, s
	Metres  float64 `json:"metres"`   // travel in work meanwhile, m
	AreaM2  float64 `json:"area_m2"`  // ground short of product, m2
	Hours   float64 `json:"hours"`    // in which the place was watched in work; of several runs their mean, h
	Ha      float64 `json:"ha"`       // that the drill worked in those hours, ha
	PerHour Rate    `json:"per_hour"` // troubles per hour watched
	PerHa   Rate    `json:"per_ha"`   // troubles per hectare
	Trend   *Trend  `json:"trend"`    // null with fewer than three troubles or four days
	ByDay   []int   `json:"by_day"`   // troubles that began on each day

	runHours []float64 // watched hours by day, over all runs of the place
	runs     int       // how many those are; 1 of a node, which is seen or not as a whole
}

// Rate is a rate with its exact 95 % interval.
type Rate struct {
	Value float64 `json:"value"` // count over exposure
	Low   float64 `json:"low"`   // lower end
	High  float64 `json:"high"`  // upper end
}

// Trend is whether a place grew worse or better over the season.
type Trend struct {
	Z        float64  `json:"z"`          // score over its standard deviation; above 0 = more often as the season went on
	P        float64  `json:"p"`          // two-sided chance of such a score with a steady rate
	Exact    bool     `json:"exact"`      // p from the exact law given the count, else from the normal one
	Adjusted float64  `json:"p_adjusted"` // after Holm's correction for all trends of the document
	Early    Span     `json:"early"`      // first half of the season's work
	Late     Span     `json:"late"`       // second half
	Ratio    *float64 `json:"ratio"`      // late rate over early rate; null = unlimited or unknown
	Low      float64  `json:"low"`        // lower end of its exact 95 % interval
	High     *float64 `json:"high"`       // upper end; null = unlimited
}

// Span is a count and how long it was counted for.
type Span struct {
	Days  int     `json:"days"`  // recordings
	Hours float64 `json:"hours"` // watched, of several runs their mean, h
	Count int     `json:"count"` // troubles that began
}

// Offender is a place that stands out.
type Offender struct {
	Place
	Trouble  Trouble `json:"trouble"`    // what kind of thing went wrong
	Count    int     `json:"count"`      // troubles of this place
	Expected float64 `json:"expected"`   // what an equal rate of all would have given it
	Of       int     `json:"of_all"`     // troubles of all places of its kind, this one included
	Among    int     `json:"among"`      // places of its kind
	Times    float64 `json:"times"`      // its count over the expected one
	P        float64 `json:"p"`          // chance of so many or more with an equal rate
	Adjusted float64 `json:"p_adjusted"` // after Holm's correction for all that was looked at
	Look     string  `json:"look"`       // where to look first
	Says     string  `json:"says"`       // all of it in a sentence
}

// Aftermath is what a repair changed.
type Aftermath struct {
	Repair
	Trouble Trouble  `json:"trouble"` // what kind of thing went wrong
	Before  Span     `json:"before"`  // from the repair of the same place before it, or the first day
	After   Span     `json:"after"`   // until the next repair of the same place, or the last day
	Ratio   *float64 `json:"ratio"`   // rate after over rate before; null = unlimited or unknown
	Low     float64  `json:"low"`     // lower end of its exact 95 % interval
	High    *float64 `json:"high"`    // upper end; null = unlimited
	P       float64  `json:"p"`       // chance, with equal rates, of counts no likelier than these; the interval, which shares what is left between its ends, decides
	Others  Others   `json:"others"`  // the same for all other places of its kind
	Says    string   `json:"says"`    // in a sentence
}

// Others is what happened meanwhile to the places that were not repaired.
type Others struct {
	Before Span     `json:"before"` // in the same days; hours are those of all of them together
	After  Span     `json:"after"`  // likewise
	Ratio  *float64 `json:"ratio"`  // rate after over rate before; null = unlimited or unknown
	Low    float64  `json:"low"`    // lower end of its exact 95 % interval
	High   *float64 `json:"high"`   // upper end; null = unlimited
}

// Read reads a season document; name is the file's name for messages.
func Read(r io.Reader, name string) (*Document, error) {
	var d Document
	form := jsondoc.Form{What: "a season", Version: Version, Command: "runproof season"}
	if err := jsondoc.Read(r, name, form, &d, &d.Runproof); err != nil {
		return nil, err
	}
	return &d, nil
}

// Write writes the document as indented JSON, the same bytes for the same
// document.
func (d *Document) Write(w io.Writer) error { return jsondoc.Write(w, d) }

// Attention says whether a person should look: a place stands out, grows worse,
// or a recording was left out.
func (d *Document) Attention() bool {
	return len(d.Offenders) > 0 || len(d.Unread) > 0 || len(d.Worse()) > 0
}
