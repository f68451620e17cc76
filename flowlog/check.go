package flowlog

import (
	"fmt"
	"math"

	"runproof/input"
)

// MaxColumns is the most columns a log may have: thirty drills of the greatest
// width side by side. More is a file of another kind, not a log.
const MaxColumns = 20000

// span is the range of values that a kind of column may hold.
var spans = [...]struct {
	min, max float64
	remedy   string
}{
	Other:   {-math.MaxFloat64, math.MaxFloat64, "leave it empty where nothing was reported"},
	Port:    {0, math.MaxFloat64, "a count is the particles since the line before, 0 or more; leave it empty where nothing was reported"},
	Lat:     {-90, 90, "latitude is -90 to 90 degrees; leave it empty where there was no position"},
	Lon:     {-180, 180, "longitude is -180 to 180 degrees; leave it empty where there was no position"},
	Speed:   {-100, 100, "speed is in m/s; leave it empty where it was not known"},
	Course:  {-360, 360, "course is in degrees from true north; leave it empty where it was not known"},
	Work:    {0, 1, "work is 1 in the ground, 0 lifted, empty where not known"},
	Section: {0, 1, "a section is 1 open, 0 closed, empty where not known"},
}

// Check returns nil when a column of this kind may hold v (NaN is no value;
// "not reported" is for the reader of the format to tell), else an input.Fault
// without a place.
func (k Kind) Check(v float64) error {
	s := &spans[k]
	if v >= s.min && v <= s.max && (k < Work || v == 0 || v == 1) {
		return nil
	}
	what := fmt.Sprintf("%g cannot be", v)
	switch {
	case v != v || math.IsInf(v, 0):
		what = fmt.Sprintf("%g is no number", v)
	case k == Port:
		what = fmt.Sprintf("the count %g is negative", v)
	case k != Other:
		what = fmt.Sprintf("%g is out of range", v)
	}
	return input.Fault{What: what, Remedy: s.remedy}
}

// OutOfOrder is the fault, without a place, of a time that does not come after
// the one before it.
func OutOfOrder(c Clock, before, now int64) input.Fault {
	what := fmt.Sprintf("time goes back from %s to %s", c.Format(before), c.Format(now))
	if before == now {
		what = fmt.Sprintf("time %s comes twice", c.Format(now))
	}
	return input.Fault{What: what, Remedy: "each line's time must come after the one before; cut the log at a clock change"}
}

// NoSamples is the fault of a log that has a head and nothing else.
func NoSamples(file string) input.Fault {
	return input.Fault{Place: input.Place{File: file}, What: "the log holds no samples", Remedy: "record again, or name another file"}
}

// Damaged is the fault of a log whose source fails: what ended it, and how much
// was read before.
func Damaged(at input.Place, why string, c Clock, samples int, lastNS int64) input.Fault {
	f := input.Fault{Place: at, What: why + "; nothing could be read before", Remedy: "copy the file again from the recorder"}
	if samples > 0 {
		f.What = fmt.Sprintf("%s; the %d samples before, to %s, are whole", why, samples, c.Format(lastNS))
	}
	return f
}

// FirstBad returns the index of the first value that Check would refuse, or -1.
func (k Kind) FirstBad(values []float64) int {
	s := &spans[k]
	for i, v := range values {
		if !(v >= s.min && v <= s.max) || k >= Work && v != 0 && v != 1 {
			return i
		}
	}
	return -1
}
