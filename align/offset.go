package align

import (
	"fmt"
	"slices"

	"runproof/input"
)

// Kind is a kind of evidence of the offset.
type Kind int

// The kinds of evidence; the package comment says what each rests on.
const (
	Speed Kind = iota
	Work
	Flow
	Lift
)

var kinds = [...]string{Speed: "speed", Work: "work", Flow: "flow", Lift: "lift"}

// String is the kind's word in documents.
func (k Kind) String() string { return kinds[k] }

// MarshalText writes the word.
func (k Kind) MarshalText() ([]byte, error) { return []byte(kinds[k]), nil }

// UnmarshalText reads the word.
func (k *Kind) UnmarshalText(text []byte) error {
	for i, w := range kinds {
		if w == string(text) {
			*k = Kind(i)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%.40q is no kind of evidence", text), Remedy: "use speed, work, flow or lift"}
}

// Verdict is how far an offset can be trusted. The zero Verdict is Unsure.
type Verdict int

// The verdicts.
const (
	Unsure Verdict = iota // another offset explains the logs nearly as well, or nothing does
	Rough                 // there is no other, but its interval is wider than a sample of the flow log either way, or it has the lag in it
	Sure                  // there is no other, and it is known to a sample of the flow log
)

var verdicts = [...]string{Unsure: "unsure", Rough: "rough", Sure: "sure"}

// String is the verdict's word in documents.
func (v Verdict) String() string { return verdicts[v] }

// MarshalText writes the word.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads the word.
func (v *Verdict) UnmarshalText(text []byte) error {
	for i, w := range verdicts {
		if w == string(text) {
			*v = Verdict(i)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%.40q is no verdict", text), Remedy: "use sure, rough or unsure"}
}

// Evidence is what one kind says of the offset, by itself.
type Evidence struct {
	Kind    Kind    `json:"kind"`
	OffsetS float64 `json:"offset_s"` // with its lag taken off, as far as that is known
	SDS     float64 `json:"sd_s"`     // its standard deviation, s
	R       float64 `json:"r"`        // correlation at the best place; 0 for matched edges
	Z       float64 `json:"z"`        // how far stretches of the logs agree, in standard deviations of chance; 0 for matched edges
	N       int     `json:"n"`        // stretches or edges it rests on
	Used    bool    `json:"used"`     // the answer rests on it
}

// Lag is how long product is under way from the meter to the sensors, s.
type Lag struct {
	S   float64 `json:"s"`
	SDS float64 `json:"sd_s"` // standard deviation
}

// Peak is an offset that explains the logs, and how well.
type Peak struct {
	OffsetS float64 `json:"offset_s"`
	Nats    float64 `json:"nats"` // log likelihood ratio against chance
}

// Drift is how the offset changed from the first third of the logs to the last.
type Drift struct {
	S      float64 `json:"s"`      // last third less first third
	SDS    float64 `json:"sd_s"`   // standard deviation
	SpanS  float64 `json:"span_s"` // time between the middles of the two
	Marked bool    `json:"marked"` // beyond chance, and more than an interval of the flow log
}

// Offset is the position log's clock minus the flow log's, and what it rests on.
type Offset struct {
	S         float64    `json:"offset_s"`
	LowS      float64    `json:"low_s"` // 95 % interval
	HighS     float64    `json:"high_s"`
	Verdict   Verdict    `json:"verdict"`
	Evidence  []Evidence `json:"evidence"`
	Lag       *Lag       `json:"lag,omitempty"` // that was taken off, where the answer rests on flow
	WithLag   bool       `json:"with_lag"`      // the drill's lag could not be told from the clock: S is the clock less the lag
	Peaks     []Peak     `json:"peaks"`         // the best first, then others at least 10 s away
	Drift     *Drift     `json:"drift,omitempty"`
	Notes     []string   `json:"notes"` // in words, what a person should know
	FlowS     float64    `json:"flow_interval_s"`
	PositionS float64    `json:"position_interval_s"`
	Picture   Picture    `json:"-"`
}

// Picture is what a drawing of the answer needs.
type Picture struct {
	Curve    []Peak // the log likelihood ratio by offset
	T0NS     int64  // where the stretch begins, position log's clock
	StepS    float64
	Flow     []float64 // relative to its usual level, shifted by the offset; NaN where missing
	SpeedMPS []float64
}

// Found says whether anything ties the logs together; where it is false, S is no
// answer.
func (o *Offset) Found() bool {
	return slices.ContainsFunc(o.Evidence, func(e Evidence) bool { return e.Used })
}

// NS is the offset in nanoseconds.
func (o *Offset) NS() int64 { return secondsNS(o.S) }

// Options say what is known beforehand. The zero Options are usual.
type Options struct {
	SearchS float64 // how far apart the clocks may be, s; 0 = 900
	Lag     *Lag    // nil = not known
	Seed    uint64
}

// DefaultSearchS is how far apart the clocks may be unless said otherwise, s.
const DefaultSearchS = 900
