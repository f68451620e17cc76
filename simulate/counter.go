package simulate

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/counts"
)

// counter is a sensor's electronics: particles come at random, and after each
// it is busy for the dead time, into the next sample if need be. The counts
// are those of the renewal process itself, not of an approximation: mean and
// variance follow (Knoll, Radiation Detection and Measurement, ch. 4).
type counter struct {
	dead  counts.DeadTime
	busyS float64 // still busy at the start of the next sample
}

// count draws how many of perS particles a second are counted in dt seconds.
func (c *counter) count(perS, dt float64, rng *rand.Rand) int {
	switch {
	case perS <= 0:
		c.busyS = max(0, c.busyS-dt)
		return 0
	case c.dead.TauS == 0:
		return counts.Poisson{Mu: perS * dt}.Rand(rng)
	case c.dead.Kind == counts.Paralyzable:
		return c.paralyzable(perS, dt, rng)
	}
	return c.holdOff(perS, dt, rng)
}

// paralyzable counts the particles that come longer than the dead time after
// the one before, counted or not.
func (c *counter) paralyzable(perS, dt float64, rng *rand.Rand) int {
	n, free := 0, c.busyS
	for t := rng.ExpFloat64() / perS; t < dt; t += rng.ExpFloat64() / perS {
		if t >= free {
			n++
		}
		free = t + c.dead.TauS
	}
	c.busyS = max(0, free-dt)
	return n
}

// leapFrom is how many particles a leap is worth the trouble for.
const leapFrom = 24

// holdOff counts a particle, waits the dead time, waits for the next. Where
// many fit in, it leaps over most of them at once: k waits for a particle last
// a gamma variable of shape k.
func (c *counter) holdOff(perS, dt float64, rng *rand.Rand) int {
	n, left := 0, dt-c.busyS // time left in the sample
	countedS := c.dead.Recorded(perS)
	for left > 0 {
		if mean := left * countedS; mean >= leapFrom {
			k := int(mean - 2.5*math.Sqrt(mean)) // they will most likely fit in
			waits := distuv.Gamma{Alpha: float64(k), Beta: perS, Src: rng}.Rand()
			took := waits + float64(k)*c.dead.TauS
			if took > left {
				return n + c.within(left, waits, k, rng)
			}
			n, left = n+k, left-took
			continue
		}
		if left -= rng.ExpFloat64() / perS; left < 0 {
			c.busyS = 0
			return n
		}
		n, left = n+1, left-c.dead.TauS
	}
	c.busyS = -left
	return n
}

// within draws how many of k particles, whose waits add up to waits, come in
// the time left: particle j comes at G_j + (j-1) tau, the G_j being cut from
// the whole like uniform points, so that a middle one is a beta variable.
func (c *counter) within(left, waits float64, k int, rng *rand.Rand) int {
	tau := c.dead.TauS
	lo, hi, atLo, atHi := 0, k, 0.0, waits
	if waits+float64(k-1)*tau <= left {
		lo, atLo = k, waits
	}
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		cut := distuv.Beta{Alpha: float64(mid - lo), Beta: float64(hi - mid), Src: rng}.Rand()
		if at := atLo + (atHi-atLo)*cut; at+float64(mid-1)*tau <= left {
			lo, atLo = mid, at
		} else {
			hi, atHi = mid, at
		}
	}
	c.busyS = 0
	if lo > 0 {
		c.busyS = max(0, atLo+float64(lo)*tau-left)
	}
	return lo
}
