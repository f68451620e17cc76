package power

import (
	"math"

	"runproof/fit"
	"runproof/harness"
	"runproof/parts"
)

// stock is the legs of a catalogue by cross-section.
type stock struct {
	harness.Stock
	areas []float64 // mm2, least first
}

func newStock(cat parts.Catalogue) stock {
	s := stock{Stock: harness.NewStock(cat)}
	s.areas = s.Areas()
	return s
}

// thinnest is the least cross-section, mm2; 1 where the catalogue has no legs.
func (s stock) thinnest() float64 {
	if len(s.areas) == 0 {
		return 1
	}
	return s.areas[0]
}

// next is the leg of the next larger cross-section that stock has, and whether
// there is one.
func (s stock) next(l fit.Leg) (fit.Leg, bool) {
	if len(l.Pieces) == 0 {
		return l, false // it is to be made, and no thicker one is there to be had
	}
	for _, a := range s.areas {
		if a <= l.AreaMM2*(1+sameArea) {
			continue
		}
		c := s.Cover(l.NeedM(), a, harness.LeastSurplus)
		if len(c.Pieces) == 0 {
			return l, false
		}
		l.AreaMM2, l.LengthM, l.Pieces = c.Pieces[0].AreaMM2, c.LengthM, nil
		for _, p := range c.Pieces {
			l.Pieces = append(l.Pieces, p.ID)
		}
		return l, true
	}
	return l, false
}

// copperMM2M is the copper of one conductor of a leg, mm2 m: what a thicker leg
// costs.
func copperMM2M(l fit.Leg) float64 { return l.AreaMM2 * l.LengthM }

// want is how far a circuit is from what is asked of it. Less is better, hard
// first; both are 0 where nothing is left to wish.
type want struct {
	hard float64 // limits broken, in parts of the supply
	wish float64 // what one would like beside
}

func (w want) less(o want) bool {
	const same = 1e-9
	if math.Abs(w.hard-o.hard) > same {
		return w.hard < o.hard
	}
	return w.wish < o.wish-same
}

// gain is how much better w is than o.
func (w want) gain(o want) float64 {
	const hardCounts = 1e3 // a broken limit counts more than any wish
	return hardCounts*(o.hard-w.hard) + o.wish - w.wish
}

// volts is what the boxes lack in all cases of the supply.
func (c *circuit) volts(toldV float64) want {
	var w want
	for _, k := range c.t.Cases {
		s := c.solve(k, toldV)
		for i, b := range c.boxes {
			if !b.said {
				continue
			}
			drop, v := 1-s.volts(i)/s.supplyV, s.volts(i)
			if !k.Brief {
				w.hard += math.Max(0, drop-c.t.Limits.Drop)
				w.wish += math.Max(0, drop-c.t.Limits.DropSized)
			}
			w.hard += math.Max(0, b.least-v) / s.supplyV
			w.wish += math.Max(0, b.least+c.t.Limits.VoltsSpare-v) / s.supplyV
		}
	}
	return w
}

// size makes legs thicker while that brings the boxes nearer to what they want:
// each time the leg that brings most for its copper, the one nearest to the
// supply of those alike.
func (c *circuit) size(toldV float64) {
	c.grow(func() want { return c.volts(toldV) })
}

// grow makes legs thicker, one at a time, while that makes the measure better.
func (c *circuit) grow(measure func() want) {
	for now := measure(); now.hard > 0 || now.wish > 0 && !c.sparing; {
		best, most, at := -1, 0.0, now
		for i, l := range c.legs {
			thicker, ok := c.stock.next(l)
			if !ok {
				continue
			}
			c.set(i, thicker)
			w := measure()
			c.set(i, l)
			if !w.less(now) || c.sparing && w.hard == now.hard {
				continue
			}
			cost := math.Max(copperMM2M(thicker)-copperMM2M(l), 1e-6)
			if g := w.gain(now) / cost; g > most*(1+1e-9) {
				best, most, at = i, g, w
			}
		}
		if best < 0 {
			return
		}
		thicker, _ := c.stock.next(c.legs[best])
		c.set(best, thicker)
		now = at
	}
}

// harness is h with the legs as they are sized, in its own order.
func (c *circuit) harness(h fit.Harness) fit.Harness {
	sized := make(map[string]fit.Leg, len(c.legs))
	for _, l := range c.legs {
		sized[l.ID] = l
	}
	legs := make([]fit.Leg, len(h.Legs))
	h.BusM = 0
	for i, l := range h.Legs {
		legs[i] = l
		if s, ok := sized[l.ID]; ok {
			legs[i] = s
		}
		if legs[i].Bus {
			h.BusM += legs[i].LengthM
		}
	}
	h.Legs, h.BusM = legs, math.Round(h.BusM*1000)/1000
	return h
}
