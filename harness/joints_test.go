package harness

import (
	"testing"

	"runproof/drill"
)

// TestBoxesKeepOffTheJoints: on a drill as told on the telephone, cart behind, the
// gateway hangs over the hitch, nearest to the middle of the joint to the
// tractor. It leaves the frame at the hitch all the same: between the two its
// leads would be torn off.
func TestBoxesKeepOffTheJoints(t *testing.T) {
	d, _, err := drill.New(drill.Facts{Rows: 40, SpacingM: 0.254, Cart: drill.CartBehind})
	if err != nil {
		t.Fatal(err)
	}
	hitch := d.Places().Hitch
	n, stands := newNet(d.FrameOrDefault(), []drill.Point{d.Places().Supply, {Forward: hitch.Forward, Up: hitch.Up + 0.4}})
	if got := stands[1].foot.At; got != hitch {
		t.Errorf("the gateway over the hitch leaves the frame at %v, not at the hitch %v", got, hitch)
	}
	if len(n.frame.Links) != len(d.FrameOrDefault().Links) {
		t.Error("the net has lost links of the frame")
	}
}
