package counts

import (
	"fmt"
	"math"
)

// DeadTimeKind says what a particle does that arrives while the counter is
// still busy with the one before.
type DeadTimeKind int

const (
	// NonParalyzable: it is lost. A fixed hold-off after each pulse.
	NonParalyzable DeadTimeKind = iota
	// Paralyzable: it is lost and keeps the counter busy anew. A light beam
	// that overlapping kernels interrupt as one.
	Paralyzable
)

var deadTimeKinds = [...]string{"non-paralyzable", "paralyzable"}

// String returns the textbook's word.
func (k DeadTimeKind) String() string {
	if k < 0 || int(k) >= len(deadTimeKinds) {
		return fmt.Sprintf("DeadTimeKind(%d)", int(k))
	}
	return deadTimeKinds[k]
}

// MarshalText writes the textbook's word.
func (k DeadTimeKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads it.
func (k *DeadTimeKind) UnmarshalText(text []byte) error {
	for i, s := range deadTimeKinds {
		if s == string(text) {
			*k = DeadTimeKind(i)
			return nil
		}
	}
	return fmt.Errorf("dead time %q is not known; write non-paralyzable or paralyzable", text)
}

// DeadTime is a counter that is busy for TauS seconds after each particle
// (Knoll, Radiation Detection and Measurement, ch. 4). The zero value counts
// every particle. Rates are in particles a second; arrivals are Poisson.
type DeadTime struct {
	TauS float64
	Kind DeadTimeKind
}

// Recorded returns the rate the counter shows at the true rate:
// n/(1+n tau), or n exp(-n tau) if paralyzable.
func (d DeadTime) Recorded(rate float64) float64 {
	if d.Kind == Paralyzable {
		return rate * math.Exp(-rate*d.TauS)
	}
	return rate / (1 + rate*d.TauS)
}

// True returns the true rate behind a recorded one. For a paralyzable counter
// two true rates fit, low and high of the turning point 1/TauS; otherwise both
// are the same. ok is false for rates the counter cannot show: 1/TauS and more,
// or above 1/(e TauS) if paralyzable.
func (d DeadTime) True(recorded float64) (low, high float64, ok bool) {
	c := recorded * d.TauS
	switch {
	case recorded < 0:
		return 0, 0, false
	case d.TauS == 0:
		return recorded, recorded, true
	case d.Kind == NonParalyzable:
		if c >= 1 {
			return 0, 0, false
		}
		return recorded / (1 - c), recorded / (1 - c), true
	case recorded == 0:
		return 0, math.Inf(1), true
	case c > 1/math.E:
		return 0, 0, false
	}
	// ln y - y = ln c is concave: Newton from the outer side of each root
	// closes in without overshooting.
	return descend(c, c) / d.TauS, descend(2-2*math.Log(c), c) / d.TauS, true
}

// descend finds the root of ln y - y - ln c on y's side of 1.
func descend(y, c float64) float64 {
	lower := y < 1
	for range 200 {
		next := y - (math.Log(y)-y-math.Log(c))/(1/y-1)
		if math.IsNaN(next) || (lower && next > 1) || (!lower && next < 1) {
			return 1 // the turning point itself
		}
		if math.Abs(next-y) <= 1e-15*y {
			return next
		}
		y = next
	}
	return y
}

// Fano returns variance/mean of the counts over a long interval at the true
// rate: 1/(1+n tau)^2, or 1 - 2 n tau exp(-n tau) if paralyzable (Mueller 1973).
// Dead time makes counts less spread, so a Fano factor near 1 does not prove
// Poisson arrivals.
func (d DeadTime) Fano(rate float64) float64 {
	y := rate * d.TauS
	if d.Kind == Paralyzable {
		return 1 - 2*y*math.Exp(-y)
	}
	return 1 / ((1 + y) * (1 + y))
}

// ApparentLoss returns the share of the reading that is lost when the flow
// falls to the fraction left of the true rate. It is less than 1-left, and can
// be negative for a paralyzable counter past its turning point.
func (d DeadTime) ApparentLoss(rate, left float64) float64 {
	return 1 - d.Recorded(left*rate)/d.Recorded(rate)
}

// TwoSourceTau returns the dead time of a non-paralyzable counter from the
// rates recorded with source 1, source 2, both, and neither: on a drill, two
// gates opened singly and together into one hose (Knoll, ch. 4).
func TwoSourceTau(m1, m2, m12, background float64) float64 {
	x := m1*m2 - background*m12
	y := m1*m2*(m12+background) - background*m12*(m1+m2)
	z := y * (m1 + m2 - m12 - background) / (x * x)
	return x * (1 - math.Sqrt(1-z)) / y
}
