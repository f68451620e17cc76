package radio

import (
	"math"

	"runproof/drill"
	"runproof/fit"
)

// sight is how a straight line passes the cart.
type sight struct {
	passes   bool    // it goes over or beside the cart at all
	clearM   float64 // least distance from the cart; negative: how deep through it, m
	fresnelM float64 // first Fresnel zone where that is, m
}

// see looks along the line from a to b past the box. Steps of a centimetre are
// finer than anybody measures a cart.
func see(a, b drill.Point, cart drill.Box, hz float64) sight {
	const stepM = 0.01
	s := sight{clearM: math.Inf(1)}
	long := drill.DistanceM(a, b)
	n := int(long/stepM) + 1
	for i := 0; i <= n; i++ {
		t := float64(i) / float64(n)
		p := drill.Point{Forward: a.Forward + t*(b.Forward-a.Forward), Right: a.Right + t*(b.Right-a.Right), Up: a.Up + t*(b.Up-a.Up)}
		if p.Forward < cart.Back || p.Forward > cart.Front {
			continue
		}
		s.passes = true
		if c := clearance(p, cart); c < s.clearM {
			s.clearM, s.fresnelM = c, FresnelM(t*long, (1-t)*long, hz)
		}
	}
	return s
}

// clearance is how far a point is from the cart's outline, seen along the way of
// travel; negative inside.
func clearance(p drill.Point, cart drill.Box) float64 {
	side := math.Max(cart.Left-p.Right, p.Right-cart.Right)
	above := p.Up - cart.Top
	if side <= 0 && above <= 0 {
		return math.Max(side, above)
	}
	return math.Hypot(math.Max(side, 0), math.Max(above, 0))
}

// word is how the antenna sees the cab.
func (s sight) word() fit.Sight {
	switch {
	case !s.passes:
		return fit.SightClear
	case s.clearM < 0:
		return fit.SightBlocked
	case s.clearM < s.fresnelM:
		return fit.SightGrazed
	}
	return fit.SightClear
}
