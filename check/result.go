package check

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"runproof/measure"
)

// CommonPractice is the Source of limits that the trade uses and nobody has
// published.
const CommonPractice = "common practice, no source"

// Result is what one rule says about one thing. Value, Limit and Reserve are
// in the quantity's base unit; NaN stands for "not known".
type Result struct {
	Rule     string // "hose reach", "volts at the last node"
	Of       string // what was judged: "head C", "node 4103"
	Quantity measure.Quantity
	Value    float64
	Bound    Bound   // which side of Limit is right
	Limit    float64 // the rule is kept at the limit itself
	Reserve  float64 // margin one would want; below it the rule is kept but Tight
	Source   string  // where the limit comes from: "ISO 11783-2:2019, 6.2"
	Advice   string  // what to do when it is Tight or Broken
}

// Margin is the distance to the limit in the quantity's base unit, positive
// when the rule is kept; NaN when a figure is not known.
func (r Result) Margin() float64 {
	if r.Bound == AtLeast {
		return r.Value - r.Limit
	}
	return r.Limit - r.Value
}

// Verdict is whether the rule is kept.
func (r Result) Verdict() Verdict {
	m := r.Margin()
	switch {
	case math.IsNaN(m):
		return Unknown
	case m < 0:
		return Broken
	case m < r.Reserve:
		return Tight
	}
	return Kept
}

// Advised is the result with its advice: what to do, or where it could not be
// judged what is lacking.
func (r Result) Advised(do, lacking string) Result {
	r.Advice = do
	if r.Verdict() == Unknown {
		r.Advice = lacking
	}
	return r
}

// Text is the result as a sentence in the units of the system; advice follows
// where there is something to do.
func (r Result) Text(s measure.System) string {
	var b strings.Builder
	b.WriteString(r.Rule)
	if r.Of != "" {
		b.WriteString(", " + r.Of)
	}
	fmt.Fprintf(&b, ": %s, %s %s", s.Format(r.Quantity, r.Value), r.Bound, s.Format(r.Quantity, r.Limit))
	switch m := r.Margin(); r.Verdict() {
	case Broken:
		fmt.Fprintf(&b, ", off by %s", s.Format(r.Quantity, -m))
	case Tight:
		fmt.Fprintf(&b, ", only %s to spare", s.Format(r.Quantity, m))
	case Kept, Unknown:
	}
	if r.Source != "" {
		fmt.Fprintf(&b, " (%s)", r.Source)
	}
	if r.Advice != "" && r.Verdict() >= Tight {
		b.WriteString("; " + r.Advice)
	}
	return b.String()
}

// String is Text in metric units.
func (r Result) String() string { return r.Text(measure.Metric) }

// resultJSON is the form of a Result in documents: JSON has no NaN, and a
// reader should not have to know how a margin is reckoned.
type resultJSON struct {
	Rule     string           `json:"rule"`
	Of       string           `json:"of,omitempty"`
	Quantity measure.Quantity `json:"quantity"`
	Unit     string           `json:"unit,omitempty"` // of value, limit, margin and reserve
	Value    *float64         `json:"value"`
	Bound    Bound            `json:"bound"`
	Limit    *float64         `json:"limit"`
	Margin   *float64         `json:"margin"`
	Reserve  float64          `json:"reserve,omitempty"`
	Verdict  Verdict          `json:"verdict"`
	Source   string           `json:"source,omitempty"`
	Advice   string           `json:"advice,omitempty"`
}

// MarshalJSON writes the figures in the quantity's base unit, null where not
// known, with the margin and the verdict.
func (r Result) MarshalJSON() ([]byte, error) {
	return json.Marshal(resultJSON{
		Rule: r.Rule, Of: r.Of, Quantity: r.Quantity, Unit: r.Quantity.BaseUnit().Symbol(),
		Value: finite(r.Value), Bound: r.Bound, Limit: finite(r.Limit), Margin: finite(r.Margin()), Reserve: r.Reserve,
		Verdict: r.Verdict(), Source: r.Source, Advice: r.Advice,
	})
}

// UnmarshalJSON reads what MarshalJSON writes. Margin and verdict are reckoned
// anew from the figures, whatever the document says. An infinite figure comes
// back as not known.
func (r *Result) UnmarshalJSON(b []byte) error {
	var j resultJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return err
	}
	*r = Result{
		Rule: j.Rule, Of: j.Of, Quantity: j.Quantity, Value: orNaN(j.Value), Bound: j.Bound, Limit: orNaN(j.Limit),
		Reserve: j.Reserve, Source: j.Source, Advice: j.Advice,
	}
	return nil
}

func orNaN(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}

func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
