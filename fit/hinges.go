package fit

import (
	"fmt"
	"slices"

	"runproof/drill"
)

// Hinge is a joint of frame or outfit that legs of the harness cross with slack.
type Hinge struct {
	ID   string          // H1, H2, ... in the order in which the legs reach them
	Link drill.FrameLink // between which frame points, and how much slack each leg leaves there
	Legs []string        // ids of the legs that cross it
}

// Hinges are the joints that the harness crosses, each once.
func (h Harness) Hinges() []Hinge {
	var out []Hinge
	for _, leg := range h.Legs {
		for _, k := range leg.Hinges {
			i := slices.IndexFunc(out, func(o Hinge) bool { return o.Link == k })
			if i < 0 {
				out, i = append(out, Hinge{ID: fmt.Sprintf("H%d", len(out)+1), Link: k}), len(out)
			}
			out[i].Legs = append(out[i].Legs, leg.ID)
		}
	}
	return out
}

// HingeID is the id of a joint, empty where no leg crosses it.
func (h Harness) HingeID(k drill.FrameLink) string {
	for _, o := range h.Hinges() {
		if o.Link == k {
			return o.ID
		}
	}
	return ""
}
