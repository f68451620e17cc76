package review

import (
	"fmt"
	"io"

	"runproof/drill"
	"runproof/input"
	"runproof/input/jsondoc"
)

// Kind is what went wrong. The zero value is Unknown,
// which no finished event carries.
type Kind int

// The kinds of event (contract events/1).
const (
	Unknown     Kind = iota
	Blocked          // run lost over 90 % of its flow
	Restricted       // run lost 25 to 90 %, or 15 % and more for long enough to be sure
	SensorLost       // readings gone or meaningless while the siblings show that flow went on
	Noisy            // counts without flow
	HeadStarved      // a whole head low
	ProductOut       // every head of a product low
	NoData           // a node silent
)

var kindWords = [...]string{"unknown", "blocked", "restricted", "sensor_lost", "noisy", "head_starved", "product_out", "no_data"}

// Kinds lists every kind that an event can have.
func Kinds() []Kind {
	return []Kind{Blocked, Restricted, SensorLost, Noisy, HeadStarved, ProductOut, NoData}
}

// String is the word used in events.json.
func (k Kind) String() string { return kindWords[k] }

// MarshalText is String.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads a word of events.json.
func (k *Kind) UnmarshalText(b []byte) error {
	for i, w := range kindWords {
		if w == string(b) {
			*k = Kind(i)
			return nil
		}
	}
	near, _ := input.Nearest(string(b), kindWords[1:])
	return fmt.Errorf("%q is no kind of event; perhaps %s", b, near)
}

// LosesSeed says whether ground went short of product: a blind sensor or a
// silent node leaves no skip.
func (k Kind) LosesSeed() bool {
	return k == Blocked || k == Restricted || k == HeadStarved || k == ProductOut
}

// Event is one fault from its start to its end. Start and End are in the log's
// form of time; Metres and AreaM2 count travel in work only.
type Event struct {
	ID           int             `json:"id"`
	Run          drill.RunID     `json:"run"`     // empty for a whole head, product or node
	Head         drill.HeadID    `json:"head"`    // empty for a whole product
	Product      drill.ProductID `json:"product"` // empty only for a node that serves several
	Node         string          `json:"node,omitempty"`
	Kind         Kind            `json:"kind"`
	Start        string          `json:"start"`
	End          string          `json:"end"`
	Lost         float64         `json:"lost"` // part of the flow lost, 0 to 1
	Metres       float64         `json:"metres"`
	AreaM2       float64         `json:"area_m2"`
	Open         bool            `json:"open,omitempty"`         // still so at the end of the log
	Intermittent *Intermittent   `json:"intermittent,omitempty"` // of an event that came and went; Metres are those on which it was there
	Sentence     string          `json:"sentence"`
	Evidence     Evidence        `json:"evidence"`

	StartNS int64 `json:"-"`
	EndNS   int64 `json:"-"`
}

// Evidence is what an event rests on.
type Evidence struct {
	LogLikelihoodRatio float64  `json:"log_likelihood_ratio"`        // nats, of the fault against sound flow
	ExpectedCount      float64  `json:"expected_count"`              // particles a sound run would have counted
	SeenCount          float64  `json:"seen_count"`                  // particles counted
	VarianceToMean     float64  `json:"variance_to_mean,omitempty"`  // F of the run's frames
	Before             *Looked  `json:"before,omitempty"`            // the run in up to half a minute of work before it began
	After              *Looked  `json:"after,omitempty"`             // and after it ended
	SiblingRise        *float64 `json:"sibling_rise,omitempty"`      // fraction by which the siblings rose
	SiblingRiseSE      *float64 `json:"sibling_rise_se,omitempty"`   // standard error of that
	SiblingRiseLow     *float64 `json:"sibling_rise_low,omitempty"`  // 95 % interval of that
	SiblingRiseHigh    *float64 `json:"sibling_rise_high,omitempty"` // 95 % interval of that
	ExpectedRise       *float64 `json:"expected_rise,omitempty"`     // what a blocked hose would give
	Against            string   `json:"against,omitempty"`           // what the rise was judged against
	KindLogOdds        *float64 `json:"hose_log_odds,omitempty"`     // ln odds of hose against sensor
	Assumed            string   `json:"assumed_baseline,omitempty"`  // set where the run's own share was not known
}

// Looked is what a run counted over a stretch of settled work, beside what it
// should have.
type Looked struct {
	Seconds       float64 `json:"seconds"`        // of settled work
	SeenCount     float64 `json:"seen_count"`     // particles counted
	ExpectedCount float64 `json:"expected_count"` // by its share of its siblings' flow
}

// Document is events.json.
type Document struct {
	Runproof string    `json:"runproof"` // "events/1"
	Events   []Event   `json:"events"`
	Findings []Finding `json:"findings,omitempty"` // changes of runs' shares that are no events yet
}

// DocumentVersion is the version of events.json written here.
const DocumentVersion = "events/1"

// ReadDocument reads events.json; name is the file's name for messages.
func ReadDocument(r io.Reader, name string) (*Document, error) {
	var d Document
	form := jsondoc.Form{What: "an events", Version: DocumentVersion, Command: "runproof review"}
	if err := jsondoc.Read(r, name, form, &d, &d.Runproof); err != nil {
		return nil, err
	}
	return &d, nil
}
