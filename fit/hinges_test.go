package fit

import (
	"fmt"
	"testing"

	"runproof/drill"
)

// By hand: two legs share the right wing's hinge, the second crosses the left
// one as well; a joint that no leg crosses has no id.
func TestHinges(t *testing.T) {
	right, left := drill.FrameLink{From: "a", To: "b", SlackM: 0.8}, drill.FrameLink{From: "c", To: "d", SlackM: 0.5}
	h := Harness{Legs: []Leg{{ID: "L1"}, {ID: "L2", Hinges: []drill.FrameLink{right}}, {ID: "L3", Hinges: []drill.FrameLink{left, right}}}}
	if got := fmt.Sprint(h.Hinges()); got != "[{H1 {a b 0.8} [L2 L3]} {H2 {c d 0.5} [L3]}]" {
		t.Error(got)
	}
	if h.HingeID(left) != "H2" || h.HingeID(drill.FrameLink{From: "x"}) != "" {
		t.Error("ids of hinges")
	}
}
