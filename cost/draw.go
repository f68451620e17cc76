package cost

import "math/rand/v2"

// cropDraw is one draw of what is taken of a stand.
type cropDraw struct {
	Plants
	yieldTHa, pricePerT, seedPerKg float64
}

// draw is one draw of everything.
type draw struct {
	crops              []cropDraw // by stand
	strips             float64    // ground short, as a part of what the review reckoned
	saved              float64    // part of a starved head's seed that stayed in the tank
	workPerHa, lateShr float64    // of sowing again
}

// set puts a figure where the arithmetic looks for it; stand -1 is for all.
func (d *draw) set(stand int, key string, v float64) {
	switch key {
	case "strip_part":
		d.strips = v
	case "thin_help":
		for i := range d.crops {
			d.crops[i].Help = v
		}
	case "starved_saved":
		d.saved = v
	case "work_per_ha":
		d.workPerHa = v
	case "yield_part":
		d.lateShr = v
	}
	if stand < 0 {
		return
	}
	switch c := &d.crops[stand]; key {
	case "reach_m":
		c.ReachM = v
	case "efficiency":
		c.Efficiency = v
	case "plants_m2":
		c.PlantsM2 = v
	case "half_m2":
		c.HalfM2 = v
	case "yield_t_ha":
		c.yieldTHa = v
	case "price_per_t":
		c.pricePerT = v
	case "seed_price_per_kg":
		c.seedPerKg = v
	}
}

// worse says at which end an assumption makes the net cost greater: -1 its
// least, +1 its most. The loss falls with what neighbours can do and with the
// plants that are left, and grows with yield and price.
func worse(key string) int {
	switch key {
	case "reach_m", "efficiency", "plants_m2", "thin_help", "starved_saved", "seed_price_per_kg":
		return -1
	}
	return 1
}

// assumed is an assumption and where it belongs.
type assumed struct {
	Assumption
	stand  int    // -1 = all
	stream uint64 // of its draws, so that one more assumption changes no other's
}

// blank is a draw with room for the stands.
func blank(stands int) draw { return draw{crops: make([]cropDraw, stands)} }

// draws are n draws of all assumptions.
func draws(as []assumed, stands, n int, seed uint64) []draw {
	out := make([]draw, n)
	for i := range out {
		out[i] = blank(stands)
	}
	for _, a := range as {
		rng := rand.New(rand.NewPCG(seed, a.stream))
		for i := range out {
			out[i].set(a.stand, a.Key, a.draw(rng))
		}
	}
	return out
}

// fixed is a draw with each assumption where pick says.
func fixed(as []assumed, stands int, pick func(a *assumed) float64) draw {
	d := blank(stands)
	for i := range as {
		d.set(as[i].stand, as[i].Key, pick(&as[i]))
	}
	return d
}
