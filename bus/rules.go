package bus

import (
	"bytes"
	_ "embed"
	"io"
	"math"
	"sync"

	"runproof/input/yamldoc"
	"runproof/parts"
)

//go:embed rules.yaml
var builtin []byte

// BuiltIn returns the rule sets that the program carries.
var BuiltIn = sync.OnceValue(func() Book {
	b, err := ReadBook(bytes.NewReader(builtin), "rules.yaml")
	if err != nil {
		panic(err) // a fault of the program, seen by its first test
	}
	return b
})

// Book holds rule sets. The zero Book has none.
type Book struct {
	Sets []Set `json:"sets" jsonschema:"required,minItems=1"`
}

// Set is one body of rules.
type Set struct {
	Set     parts.BusRules `json:"set" jsonschema:"required"`
	Name    string         `json:"name" jsonschema:"required"`
	Bias    bool           `json:"bias,omitempty"`    // ends in terminating bias circuits, not in plain resistors
	Between bool           `json:"between,omitempty"` // a rate between two rows keeps the row of the faster one
	Rates   []Rate         `json:"rates" jsonschema:"required,minItems=1"`
}

// Rate is what a set allows at one bit rate.
type Rate struct {
	KbitS    float64 `json:"kbit_s" jsonschema:"required,exclusiveMinimum=0,maximum=1000"`
	Quanta   int     `json:"tq" jsonschema:"required,minimum=8,maximum=25"`     // time quanta of a bit
	Sample   int     `json:"sample" jsonschema:"required,minimum=2,maximum=24"` // the quantum at whose end it is read
	BusM     Figure  `json:"bus_m"`                                             // backbone, m
	StubM    Figure  `json:"stub_m"`                                            // one drop, m
	StubsM   Figure  `json:"stubs_m"`                                           // all drops, m
	Boxes    Figure  `json:"boxes"`                                             // boxes on the bus
	SpacingM Figure  `json:"spacing_m"`                                         // least cable between neighbours, m
	EndOhm   Figure  `json:"end_ohm"`                                           // terminator, or class of the bias circuit, ohm
	Load     Figure  `json:"load"`                                              // average load, part of the time
}

// ReadBook reads rule sets in the form of rules.yaml; name is the file's name
// for messages. The error is input.Faults with every fault of the document, or
// what r returned.
func ReadBook(r io.Reader, name string) (Book, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Book{}, err
	}
	var b Book
	doc.Decode(&b)
	for i, s := range b.Sets {
		for j, rate := range s.Rates {
			if rate.Sample >= rate.Quanta && doc.Sound("sets", i, "rates", j, "sample") {
				doc.Fault(doc.At("sets", i, "rates", j, "sample"), "87.5 % is 14 of 16", "a bit of %d quanta cannot be read at the end of quantum %d", rate.Quanta, rate.Sample)
			}
		}
	}
	return b, doc.Err()
}

// Rule is a set at one bit rate.
type Rule struct {
	Set Set
	Rate
	// AskedKbitS is the rate that was asked for; KbitS is that of the row.
	AskedKbitS float64
}

// Rule returns what the set says at that rate, and whether it says anything.
// A rate of 0 is that of a set which has only one.
func (b Book) Rule(set parts.BusRules, kbitS float64) (Rule, bool) {
	for _, s := range b.Sets {
		if s.Set != set {
			continue
		}
		if kbitS == 0 && len(s.Rates) == 1 {
			kbitS = s.Rates[0].KbitS
		}
		if r, ok := s.row(kbitS); ok {
			return Rule{Set: s, Rate: r, AskedKbitS: kbitS}, true
		}
	}
	return Rule{}, false
}

// row is the set's row for a rate: its own, or where the set allows it that of
// the next faster rate, which asks more.
func (s Set) row(kbitS float64) (best Rate, ok bool) {
	for _, r := range s.Rates {
		if r.KbitS == kbitS || s.Between && kbitS > 0 && r.KbitS > kbitS && (!ok || r.KbitS < best.KbitS) {
			best, ok = r, true
			if r.KbitS == kbitS {
				return r, true
			}
		}
	}
	return best, ok
}

// Rules returns what the built-in set says at a rate in kbit/s (0: the rate of
// a set that has only one), and whether it says anything.
func Rules(set parts.BusRules, kbitS float64) (Rule, bool) { return BuiltIn().Rule(set, kbitS) }

// StubMaxM is the longest drop, m, that the built-in set allows at a rate in
// kbit/s (0: the rate of a set that has only one); NaN where that is not known.
func StubMaxM(set parts.BusRules, kbitS float64) float64 {
	r, ok := Rules(set, kbitS)
	if !ok {
		return math.NaN()
	}
	return r.StubM.Limit()
}
