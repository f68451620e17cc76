package dossier

import (
	"testing"

	"runproof/fit"
)

func TestCountedNouns(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{one(1, "box"), "1 box"}, {one(7, "box"), "7 boxes"}, {one(2, "branch"), "2 branches"}, {one(0, "leg"), "0 legs"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// What is left over of a leg is what the yard sheets say: fit.Leg.CoilM.
func TestCoilInWords(t *testing.T) {
	b := &book{pages: pages{units: unitsOf(0)}}
	for _, c := range []struct {
		lengthM float64
		want    string
	}{{5, "0.11 m"}, {4.93, "nothing"}, {4, "nothing"}} {
		if got := b.coil(fit.Leg{RouteM: 4.395, LoopM: 0.5, LengthM: c.lengthM}); got != c.want {
			t.Errorf("%g m laid, 4.895 m needed: %q, want %q", c.lengthM, got, c.want)
		}
	}
}
