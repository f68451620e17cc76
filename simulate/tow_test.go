package simulate

import (
	"math"
	"testing"

	"runproof/drill"
)

// carted is a drill behind a cart: all as where nobody said.
func carted() *drill.Drill {
	return &drill.Drill{Rows: drill.Rows{Count: 24, SpacingM: 0.25, RanksM: []float64{0, -0.6}}, Work: drill.Work{SpeedMPS: 2}}
}

// TestOutfitOnACircle: each line runs on its own circle, R2^2 = R1^2 + c^2 - L^2
// (plane geometry; reference values 20, 6, c 1.5, 5: 18.4729532019 m).
func TestOutfitOnACircle(t *testing.T) {
	o := newOutfit(carted())
	o.stand(pose{})
	const r = 20.0
	for s := 0.0; s < 200; s += pullM {
		o.pull(arc{200, 1 / r}.along(pose{}, s))
	}
	want := r
	for k, l := range o.links {
		want = math.Sqrt(want*want + l.BehindM*l.BehindM - l.DrawM*l.DrawM)
		if got := math.Hypot(o.bodies[k+1].forward, o.bodies[k+1].right-r); math.Abs(got-want) > 1e-3 {
			t.Errorf("body %d: %.5f m, want %.5f", k+1, got, want)
		}
	}
}

// TestPulledStraight: tan(phi/2) falls as exp(-s/L) behind a hitch that goes
// straight (the tractrix).
func TestPulledStraight(t *testing.T) {
	o := newOutfit(&drill.Drill{Rows: drill.Rows{Count: 24, SpacingM: 0.25}, Cart: drill.Cart{Position: drill.CartBehind}})
	o.stand(pose{})
	l := o.links[0].DrawM
	const phi0 = 1.2
	o.bodies[1].heading = -phi0
	h := o.hitch(0)
	o.bodies[1] = pose{h.forward, h.right, -phi0}.ahead(-l)
	for s := pullM; s < 5+pullM/2; s += pullM {
		o.pull(pose{forward: s})
	}
	want := 2 * math.Atan(math.Tan(phi0/2)*math.Exp(-5/l))
	if got := -o.bodies[1].heading; math.Abs(got-want) > 1e-5 {
		t.Errorf("%.7f, want %.7f", got, want)
	}
}

// TestDrillIsOnItsPass: when the drill is lowered it is behind the tractor within
// a hand's breadth, and 20 m on within a few millimetres: what a turn leaves dies
// away with the draw of each body.
func TestDrillIsOnItsPass(t *testing.T) {
	d := carted()
	f := Defaults().Field
	f.PassM, f.SpeedSD = 60, 0
	v := newDrive(f, d, nil)
	lowered, off20 := 0, 0.0
	for range 20000 {
		was := v.turning
		v.step(0.1)
		side := math.Abs(v.outfit.drill().right - v.gapM*float64(v.pass))
		if was && !v.turning {
			lowered++
			if side > 0.1 {
				t.Errorf("pass %d begins %.3f m beside its line", v.pass, side)
			}
		}
		if !v.turning && v.doneM > 20 {
			off20 = max(off20, side)
		}
	}
	if lowered < 10 || off20 > 0.01 {
		t.Errorf("%d passes, off by %.4f m beyond 20 m", lowered, off20)
	}
}
