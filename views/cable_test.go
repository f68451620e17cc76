package views

import (
	"math"
	"testing"

	"runproof/drill"
	"runproof/fit"
)

// By hand: a way of 10 m straight back, 1 m of loops on it (1.1 m of cable for
// each metre), and a hinge with 0.5 m of slack between 6 and 5 m ahead. 3.3 m of
// cable end 3 m along; 4.4 m reach the hinge's near side at 4 m, 4.9 m still do,
// for the slack hangs there; 6 m end 1 m beyond; all that is left over ends at the end.
func TestCableAt(t *testing.T) {
	at := func(forward float64) drill.Point { return drill.Point{Forward: forward} }
	frame := drill.Frame{Points: []drill.FramePoint{{ID: "a", At: at(6)}, {ID: "b", At: at(5)}}}
	leg := fit.Leg{
		Path: []drill.Point{at(10), at(6), at(5), at(0)}, RouteM: 10, LoopM: 1, HingeM: 0.5,
		Hinges: []drill.FrameLink{{From: "b", To: "a", SlackM: 0.5}},
	}
	for _, c := range []struct{ cable, forward float64 }{{0, 10}, {3.3, 7}, {4.4, 6}, {4.9, 6}, {6, 5}, {11.5, 0}, {20, 0}} {
		if got := cableAt(leg, frame, c.cable); math.Abs(got.Forward-c.forward) > 1e-9 {
			t.Errorf("%g m of cable end at %g, want %g", c.cable, got.Forward, c.forward)
		}
	}
	if got := cableAt(fit.Leg{}, frame, 1); got != (drill.Point{}) {
		t.Error(got)
	}
}
