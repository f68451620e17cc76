package harness

import (
	"fmt"
	"slices"

	"runproof/drill"
	"runproof/fit"
)

// Step is one leg to lay, in working order.
type Step struct {
	Leg       string            // L3
	From, To  string            // places
	FromLabel string            // for the end at From: "L3 · J1 end, goes to 4103"
	ToLabel   string            // for the end at To
	Pieces    []string          // ids of parts, longest first, plugged together in this order from From
	LengthM   float64           // of the pieces together, m
	Hinges    []drill.FrameLink // where to leave how much slack
	LoopM     float64           // lay and service loop, m
	CoilM     float64           // left over to coil, m: see fit.Leg.CoilM
	CoilAt    string            // place at which: never at a hinge
	Terminate []string          // places at whose free connector a terminator goes on now
	Kind      string            // "feed", "bus" or "drop"
}

// Staging is what to lay where, in the order of the legs. Surplus is coiled at
// the box to which a leg leads, where a service loop hangs anyway.
func Staging(h fit.Harness) []Step {
	steps := make([]Step, len(h.Legs))
	for i, leg := range h.Legs {
		steps[i] = Step{
			Leg: leg.ID, From: leg.From, To: leg.To,
			FromLabel: EndLabel(leg, leg.From), ToLabel: EndLabel(leg, leg.To),
			Pieces: leg.Pieces, LengthM: leg.LengthM, Hinges: leg.Hinges, LoopM: leg.LoopM,
			CoilM: leg.CoilM(), CoilAt: leg.To, Kind: kindOf(leg),
		}
		if ends := terminated(h); slices.Contains(ends, leg.To) && !leg.Drop {
			steps[i].Terminate = []string{leg.To}
		}
	}
	return steps
}

// terminated are the places at the two ends of the backbone.
func terminated(h fit.Harness) []string {
	if len(h.Bus) == 0 {
		return nil
	}
	return []string{h.Bus[0], h.Bus[len(h.Bus)-1]}
}

// EndLabel is what is written on one end of a leg: which leg, where this end
// belongs, and where the other end goes.
func EndLabel(leg fit.Leg, end string) string {
	other := leg.To
	if end == leg.To {
		other = leg.From
	}
	return fmt.Sprintf("%s · %s end, goes to %s", leg.ID, end, other)
}

func kindOf(leg fit.Leg) string {
	switch {
	case leg.Bus:
		return "bus"
	case leg.Drop:
		return "drop"
	}
	return "feed"
}
