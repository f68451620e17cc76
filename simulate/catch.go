package simulate

import (
	"encoding/csv"
	"io"
	"math"
	"math/rand/v2"
	"strconv"

	"runproof/drill"
	"runproof/fit"
)

// Catch is the catch test of a kind catch: product flows in the yard in
// repeats, with standstill between them, into a bag at every open run.
type Catch struct {
	Repeats int     `json:"repeats" jsonschema:"minimum=1,maximum=20"`            // fillings of bags
	ForS    float64 `json:"for_s" jsonschema:"exclusiveMinimum=1,maximum=3600"`   // how long product is called for in the first repeat, s
	LongerS float64 `json:"longer_s" jsonschema:"minimum=0,maximum=600"`          // by how much each repeat is longer than the one before, s
	PauseS  float64 `json:"pause_s" jsonschema:"exclusiveMinimum=1,maximum=3600"` // standstill before, between and after the repeats, s
	WeighSD float64 `json:"weigh_sd" jsonschema:"minimum=0,maximum=0.5"`          // scatter of a bag by hanging and weighing, as a part of its mass
}

// catching is a catch test under way.
type catching struct {
	c    Catch
	seed uint64
	open []drill.Run
	tkwG []float64    // of each open run's particles, per 1000
	hose []int        // of each open run, index into plumbing.hoses
	bags [][]caughtIn // by open run, then repeat
}

// caughtIn is the law of the number of particles in a bag.
type caughtIn struct{ mean, variance float64 }

func newCatching(s *Scenario, f *fit.Fit, hoses []hose) *catching {
	c := &catching{c: s.Catch, seed: s.Seed}
	for k, h := range hoses {
		if h.Closed {
			continue
		}
		p, _ := f.Drill.Product(h.Product)
		c.open, c.tkwG, c.hose = append(c.open, h.Run), append(c.tkwG, p.TKWG), append(c.hose, k)
		c.bags = append(c.bags, make([]caughtIn, s.Catch.Repeats))
	}
	return c
}

// beginS is when product is called for in a repeat, from 0.
func (c Catch) beginS(repeat int) float64 {
	r := float64(repeat)
	return c.PauseS + r*(c.PauseS+c.ForS) + c.LongerS*r*(r-1)/2
}

// endS is when the recording ends.
func (c Catch) endS() float64 { return c.beginS(c.Repeats) }

// at is the repeat whose bags hang at time t, and whether product is called for.
func (c Catch) at(t float64) (repeat int, called bool) {
	for repeat < c.Repeats-1 && t > c.beginS(repeat+1) {
		repeat++
	}
	in := t - c.beginS(repeat)
	return repeat, in > 0 && in <= c.ForS+float64(repeat)*c.LongerS
}

// fill lets the flow of one sample into the bags: as many particles on average
// as the hose brings, as scattered as the law says of a sample.
func (c *catching) fill(t, dt float64, p *plumbing) {
	repeat, _ := c.c.at(t)
	for i, k := range c.hose {
		mu := p.hoses[k].perS * dt
		b := &c.bags[i][repeat]
		b.mean += mu
		b.variance += mu + p.law.Dispersion*mu*mu
	}
}

// WriteBags writes the bags of a catch test as CSV, run,repeat,grams, once the
// recording has been read to its end. Other recordings have none. The bags'
// chance is not that of the sensors: both count the same flow, each for itself.
func (r *Recording) WriteBags(w io.Writer) error {
	out := csv.NewWriter(w)
	out.Write([]string{"run", "repeat", "grams"})
	if c := r.catching; c != nil {
		rng := rand.New(rand.NewPCG(c.seed, 0x62616773))
		for repeat := range c.c.Repeats {
			for i, run := range c.open {
				b := c.bags[i][repeat]
				n := math.Max(0, b.mean+math.Sqrt(b.variance)*rng.NormFloat64())
				g := n * c.tkwG[i] / 1000 * math.Max(0, 1+c.c.WeighSD*rng.NormFloat64())
				out.Write([]string{string(run.ID), strconv.Itoa(repeat + 1), strconv.FormatFloat(g, 'f', 1, 64)})
			}
		}
	}
	out.Flush()
	return out.Error()
}
