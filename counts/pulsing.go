package counts

import "math"

// PulsingFano returns variance/mean of a Poisson count of mean mu in dtS
// seconds whose rate swings as 1 + swing cos(2 pi hz t), as roller flutes make
// it, at random phase:
//
//	F = 1 + mu swing^2 sinc^2(hz dt)/2,  sinc(x) = sin(pi x)/(pi x)
//
// A sample that holds whole pulses shows none of it. All runs of a meter pulse
// together, so the effect largely cancels in shares of the head's total.
func PulsingFano(mu, swing, hz, dtS float64) float64 {
	s := 1.0
	if x := math.Pi * hz * dtS; x != 0 {
		s = math.Sin(x) / x
	}
	return 1 + mu*swing*swing*s*s/2
}
