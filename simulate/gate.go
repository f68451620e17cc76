package simulate

import (
	"math"

	"runproof/drill"
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

// delay hands on what was put in so many steps ago; before that, the first
// thing put in. The zero delay hands on at once.
type delay struct {
	ring []float64
	at   int
}

func newDelay(seconds, dt float64) delay {
	return delay{ring: make([]float64, 0, int(seconds/dt+0.5))}
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
	return old
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
