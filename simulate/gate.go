package simulate

import (
	"math"

	"runproof/drill"
	"runproof/fit"
)

// gate lets product through some time after the command: startLagS after it
// was opened, stopLagS after it was shut, over half a second.
type gate struct {
	startLagS, stopLagS float64
	open                bool
	sinceS              float64
	target, level       float64
}

const (
	gateRampS = 0.5
	hoseMPS   = 20 // speed of product in a hose (common practice, no source)
)

// gate is that of a head's runs: its own lags, or the usual ones and the time
// through its hoses.
func (s *Scenario) gate(h drill.Head) gate {
	for _, l := range s.Lags {
		if l.Head == h.ID {
			return gate{startLagS: l.StartS, stopLagS: l.StopS}
		}
	}
	through := h.HoseM / hoseMPS
	return gate{startLagS: s.Law.StartLagS + through, stopLagS: s.Law.StopLagS + through}
}

// transportS is how long speed and rate take from the meter to a head's sensors:
// the scenario's own start lag of the head; or else what the fit reckons, as this
// drill was made within the span of the reckoning, which takes in 95 % of drills
// (log-normal law); or else the usual start lag. What is under way no longer than
// that shows at the start, which may come later: the drive takes its time.
func (s *Scenario) transportS(f *fit.Fit, h drill.Head) float64 {
	start := s.gate(h).startLagS
	for _, l := range s.Lags {
		if l.Head == h.ID {
			return start
		}
	}
	lag := f.SensorLagS(h.ID)
	if !(lag.Likely > 0) {
		return start
	}
	sd := 0.0
	if lag.Low > 0 && lag.High > lag.Low {
		sd = math.Log(lag.High/lag.Low) / (2 * 1.96)
	}
	// a sample's product is metered by the speed at its end, half a sample late
	return min(start, lag.Likely*math.Exp(sd*s.made("transport", drill.RunID(h.Product)))+s.IntervalS/2)
}

func (g *gate) step(open bool, dt float64) {
	if open != g.open {
		g.open, g.sinceS = open, 0
	}
	g.sinceS += dt
	if g.open && g.sinceS > g.startLagS {
		g.target = 1
	} else if !g.open && g.sinceS > g.stopLagS {
		g.target = 0
	}
	if g.level < g.target {
		g.level = min(g.target, g.level+dt/gateRampS)
	} else {
		g.level = max(g.target, g.level-dt/gateRampS)
	}
}

// delay hands on what was put in some time ago, between two steps where that
// falls between them; before that, the first thing put in. The zero delay hands
// on at once.
type delay struct {
	ring []float64
	at   int     // the oldest
	part float64 // of a step, beyond whole ones
}

func newDelay(seconds, dt float64) delay {
	whole, part := math.Modf(seconds/dt + 1e-9)
	return delay{ring: make([]float64, 0, int(whole)+1), part: part}
}

func (d *delay) put(v float64) float64 {
	if cap(d.ring) == 0 {
		return v
	}
	if len(d.ring) < cap(d.ring) {
		d.ring = append(d.ring, v)
		return d.ring[0]
	}
	old := d.ring[d.at]
	d.ring[d.at] = v
	d.at = (d.at + 1) % len(d.ring)
	return old + (1-d.part)*(d.ring[d.at]-old)
}

// left is the part of the flow that a fault leaves at time t: it falls over
// FallS from AtS on, and is whole again within a second of its end.
func (f *Fault) left(t float64) float64 {
	in := t - f.AtS
	if in <= 0 || t >= f.AtS+f.ForS+1 {
		return 1
	}
	low := f.Left
	if in = min(in, f.ForS); in < f.FallS { // cut off in the middle of its fall it comes back from there
		low = 1 + (f.Left-1)*in/f.FallS
	}
	if over := t - f.AtS - f.ForS; over > 0 {
		return low + (1-low)*over
	}
	return low
}

func (f *Fault) active(t float64) bool { return t > f.AtS && t <= f.AtS+f.ForS }

// lost is the part of the product that the fault takes; a blind sensor or a
// silent node takes none.
func (f *Fault) lost() float64 {
	if !f.Kind.LosesSeed() {
		return 0
	}
	return math.Round(1e6*(1-f.Left)) / 1e6
}
