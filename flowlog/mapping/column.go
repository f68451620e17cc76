package mapping

import (
	"math"
	"strconv"

	"runproof/flowlog"
	"runproof/input/yamldoc"
)

// Counts is what a count counts from. The zero value is Interval.
type Counts int

// The ways to count.
const (
	Interval  Counts = iota // particles since the record before
	Running                 // particles since the node was switched on, or since it wrapped
	PerSecond               // particles a second
)

var countsWords = []string{"interval", "running", "per_second"}

func (c Counts) String() string { return countsWords[c] }

// MarshalText writes the word.
func (c Counts) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads the word.
func (c *Counts) UnmarshalText(b []byte) error {
	i, err := oneWord(string(b), countsWords)
	*c = Counts(i)
	return err
}

// Unit is the unit in which a recording has a position, a speed or a course.
// The zero value is the flow log's own: degrees, m/s.
type Unit int

// The units.
const (
	Own Unit = iota
	MetresPerS
	KilometresPerH
	MilesPerH
	Knots
	MillimetresPerS
	Degrees
	Radians
	TenMillionths  // of a degree
	DegreesMinutes // ddmm.mmmm, as NMEA 0183 writes positions
)

// units are the words, what each is for, and how many of the flow log's own
// units one is; DegreesMinutes is no multiple.
var units = []struct {
	word string
	kind flowlog.Kind
	own  float64
}{
	Own:             {"", flowlog.Other, 1},
	MetresPerS:      {"m/s", flowlog.Speed, 1},
	KilometresPerH:  {"km/h", flowlog.Speed, 1 / 3.6},
	MilesPerH:       {"mph", flowlog.Speed, 0.44704}, // exact, by the international mile of 1609.344 m
	Knots:           {"kn", flowlog.Speed, 1852.0 / 3600},
	MillimetresPerS: {"mm/s", flowlog.Speed, 1e-3},
	Degrees:         {"deg", flowlog.Course, 1},
	Radians:         {"rad", flowlog.Course, 180 / math.Pi},
	TenMillionths:   {"1e-7 deg", flowlog.Lat, 1e-7},
	DegreesMinutes:  {"ddmm.mmmm", flowlog.Lat, 1},
}

func unitWords() []string {
	var words []string
	for _, u := range units[1:] {
		words = append(words, u.word)
	}
	return words
}

func (u Unit) String() string { return units[u].word }

// MarshalText writes the word.
func (u Unit) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

// UnmarshalText reads the word.
func (u *Unit) UnmarshalText(b []byte) error {
	i, err := oneWord(string(b), unitWords())
	*u = Unit(i + 1)
	return err
}

// fits says whether a column of that kind can have the unit.
func (u Unit) fits(k flowlog.Kind) bool {
	position := k == flowlog.Lat || k == flowlog.Lon
	switch units[u].kind {
	case flowlog.Speed:
		return k == flowlog.Speed || k == flowlog.Other
	case flowlog.Course:
		return k == flowlog.Course || position || k == flowlog.Other
	case flowlog.Lat:
		return position || k == flowlog.Other
	}
	return true
}

// own is a value of that unit in the flow log's own. The power of ten is divided
// by, so that 512000000 is 51.2 exactly.
func (u Unit) own(v float64) float64 {
	switch u {
	case TenMillionths:
		return v / 1e7
	case DegreesMinutes:
		d := math.Trunc(v / 100)
		return d + (v-100*d)/60
	case MillimetresPerS:
		return v / 1000
	}
	return v * units[u].own
}

// checkColumn finds what no single key of a column shows.
func (m *Map) checkColumn(doc *yamldoc.Document, i int, c Column) {
	at := func(key string) (path []any) { return []any{"columns", i, key} }
	kind := flowlog.ColumnNamed(c.To).Kind
	if kind != flowlog.Port && (c.Counts != Interval || c.WrapsAt != 0) {
		key := "counts"
		if c.Counts == Interval {
			key = "wraps_at"
		}
		doc.Fault(doc.At(at(key)...), "take it out, or name a port: node:number", "%q is no port, so it counts nothing", c.To)
	}
	if c.WrapsAt != 0 && c.Counts != Running && kind == flowlog.Port {
		doc.Fault(doc.At(at("wraps_at")...), "write counts: running", "only a running count wraps")
	}
	if c.Unit != Own && !c.Unit.fits(kind) {
		doc.Fault(doc.At(at("unit")...), "take it out", "%s is no unit of %q", c.Unit, c.To)
	}
	if len(c.On) > 0 && kind != flowlog.Work && kind != flowlog.Section {
		doc.Fault(doc.At(at("on")...), "take it out", "%q has no state that could be on", c.To)
	}
	if c.Side != "" && kind != flowlog.Lat && kind != flowlog.Lon {
		doc.Fault(doc.At(at("side")...), "take it out", "%q has no side", c.To)
	}
	if c.To == flowlog.TimeName {
		doc.Fault(doc.At(at("to")...), "say under time which columns it is", "time is no column of values")
	}
	for _, v := range []struct {
		key   string
		value float64
	}{{"scale", c.Scale}, {"add", c.Add}} {
		if math.IsNaN(v.value) || math.IsInf(v.value, 0) {
			doc.Fault(doc.At(at(v.key)...), "write a number", "%s is %v", v.key, v.value)
		}
	}
}

// value is what a written value says, NaN where it is missing; one that the flow
// log's kind of column may not hold cannot be, and is missing, too.
func (c *Column) value(v float64, k flowlog.Kind) (says float64, cannot bool) {
	for _, m := range c.Missing {
		if v == m {
			return flowlog.Missing(), false
		}
	}
	if len(c.On) > 0 {
		return c.state(v), false
	}
	if c.Scale != 0 {
		v *= c.Scale
	}
	v = c.Unit.own(v + c.Add)
	if v == v && !(c.Counts == Running && k == flowlog.Port) && k.Check(v) != nil {
		return flowlog.Missing(), true
	}
	return v, false
}

func (c *Column) state(v float64) float64 {
	for _, word := range c.On {
		if on, err := strconv.ParseFloat(word, 64); err == nil && on == v {
			return 1
		}
	}
	if v != v {
		return v
	}
	return 0
}
