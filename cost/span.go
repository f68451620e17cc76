package cost

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"runproof/input"
	"runproof/input/yamldoc"
)

// Range is what an assumption may be. A person writes one number, two (least
// and most: the likely one is their middle), or three: [5.0, 6.0, 6.5]. The zero
// Range is the number 0.
type Range struct {
	Low    float64 `json:"low"`    // least
	Likely float64 `json:"likely"` // most likely
	High   float64 `json:"high"`   // most
}

// just is a range of one number.
func just(v float64) Range { return Range{v, v, v} }

func (r Range) times(v float64) Range { return Range{r.Low * v, r.Likely * v, r.High * v} }

// UnmarshalItems reads one to three numbers.
func (r *Range) UnmarshalItems(items []yamldoc.Item) input.Faults {
	const remedy = "write one number, or [least, most], or [least, likely, most]"
	var faults input.Faults
	var v []float64
	for _, it := range items {
		x, err := strconv.ParseFloat(it.Text, 64)
		if err != nil || x != x || x-x != 0 {
			faults.Add(it.At, remedy, "%q is no number", it.Text)
			continue
		}
		if n := len(v); n > 0 && x < v[n-1] {
			faults.Add(it.At, "write the least first", "%g stands behind %g", x, v[n-1])
		}
		v = append(v, x)
	}
	switch {
	case len(faults) > 0:
	case len(v) == 1:
		*r = just(v[0])
	case len(v) == 2:
		*r = Range{v[0], v[0]/2 + v[1]/2, v[1]}
	case len(v) == 3:
		*r = Range{v[0], v[1], v[2]}
	case len(items) > 0:
		faults.Add(items[0].At, remedy, "a range of %d numbers", len(items))
	}
	return faults
}

// draw is a number from the triangle over the range.
func (r Range) draw(rng *rand.Rand) float64 {
	u := rng.Float64()
	w := r.High - r.Low
	if w <= 0 {
		return r.Likely
	}
	if c := (r.Likely - r.Low) / w; u < c {
		return r.Low + w*math.Sqrt(u*c)
	} else {
		return r.High - w*math.Sqrt((1-u)*(1-c))
	}
}

// String writes "5 to 7, likely 6", or one number.
func (r Range) String() string {
	if r.Low == r.High {
		return fmt.Sprintf("%.6g", r.Likely)
	}
	return fmt.Sprintf("%.6g to %.6g, likely %.6g", r.Low, r.High, r.Likely)
}

// Interval is what an estimate may be: nine draws in ten lie from Low to High.
type Interval struct {
	Low    float64 `json:"low"`    // one draw in twenty is less
	Middle float64 `json:"middle"` // half of the draws are less
	High   float64 `json:"high"`   // one draw in twenty is more
}
