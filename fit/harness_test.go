package fit

import "testing"

// By hand. A surplus of 0.105 m is 0.11 m whichever paper says it, though the
// sum of binary fractions may lie a hair to either side.
func TestCoilM(t *testing.T) {
	for _, c := range []struct{ routeM, hingeM, loopM, lengthM, want float64 }{
		{3.8, 0.8, 0.295, 5, 0.11},
		{3.8000000001, 0.8, 0.295, 5, 0.11},
		{3.7999999999, 0.8, 0.295, 5, 0.11},
		{4.464, 0, 0.5, 5, 0},
		{4.4505, 0, 0.5, 5, 0.05},
		{4.451, 0, 0.5, 5, 0},
		{4, 0, 1, 5, 0},
		{5, 0, 1, 5, 0}, // too short: nothing is left over
		{1, 0, 0.5, 10, 8.5},
	} {
		l := Leg{RouteM: c.routeM, HingeM: c.hingeM, LoopM: c.loopM, LengthM: c.lengthM}
		if got := l.CoilM(); got != c.want {
			t.Errorf("%+v: %g m to coil, want %g m", l, got, c.want)
		}
	}
}
