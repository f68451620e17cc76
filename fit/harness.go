package fit

import (
	"fmt"
	"math"

	"runproof/drill"
	"runproof/input"
)

// Harness is how power and bus go along the frame: places, legs between them,
// and the order of the boxes on the bus. The zero Harness is not planned.
type Harness struct {
	Frame  drill.Frame `json:"frame"`  // the frame that the routes follow, as told or as derived
	Places []Place     `json:"places"` // supply first, then in the order in which a person reaches them
	Legs   []Leg       `json:"legs"`   // in the order in which a person lays them out

	Bus     []string `json:"bus"`     // ids of the places on the backbone, from one terminator to the other
	BusM    float64  `json:"bus_m"`   // backbone as laid: the stock lengths between its ends, m
	RouteM  float64  `json:"route_m"` // the same along the frame, without slack and surplus, m
	Optimal bool     `json:"optimal"` // no other order of the boxes has a shorter route
	Bound   string   `json:"bound"`   // how that was proved, or the gap
}

// Place is where legs of the harness end.
type Place struct {
	ID      string      `json:"id"`         // "supply", "J1", "gateway", or the serial of a node
	Kind    PlaceKind   `json:"kind"`       // what stands there
	At      drill.Point `json:"at_m"`       // where it is
	OnFrame drill.Point `json:"on_frame_m"` // where the way to it leaves the frame
}

// PlaceKind is what stands at a place of the harness. The zero value is the
// supply.
type PlaceKind int

// The kinds of places.
const (
	SupplyPlace   PlaceKind = iota // power point
	JunctionPlace                  // three ways of the harness meet
	GatewayPlace
	NodePlace
)

var placeWords = []string{"supply", "junction", "gateway", "node"}

// String is "supply", "junction", "gateway" or "node".
func (k PlaceKind) String() string {
	if k < 0 || int(k) >= len(placeWords) {
		return fmt.Sprintf("PlaceKind(%d)", int(k))
	}
	return placeWords[k]
}

// MarshalText is String.
func (k PlaceKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads one of the words.
func (k *PlaceKind) UnmarshalText(b []byte) error {
	return input.Word(k, b, placeWords, "%q is no kind of place")
}

// Leg is one stretch of the harness between two places.
type Leg struct {
	ID      string            `json:"id"`               // L1, L2, ... in the order laid out
	From    string            `json:"from"`             // id of the place nearer to the supply
	To      string            `json:"to"`               // id of the place farther from it
	Path    []drill.Point     `json:"path_m"`           // from From to To along the frame
	RouteM  float64           `json:"route_m"`          // length of the path, m
	HingeM  float64           `json:"hinge_m"`          // slack of the hinges it crosses, m
	Hinges  []drill.FrameLink `json:"hinges,omitempty"` // those hinges, from From to To
	LoopM   float64           `json:"loop_m"`           // lay and service loop, m
	LengthM float64           `json:"length_m"`         // of its pieces, m; at least the three above together
	Pieces  []string          `json:"pieces"`           // ids of catalogue parts, longest first
	AreaMM2 float64           `json:"area_mm2"`         // least cross-section of its supply conductors, mm2
	Bus     bool              `json:"bus,omitempty"`    // part of the backbone
	Drop    bool              `json:"drop,omitempty"`   // a drop from a junction to a box
	// Neither: power only, from the supply to where the harness begins.
}

// NeedM is how long the leg must be at least, m.
func (l Leg) NeedM() float64 { return l.RouteM + l.HingeM + l.LoopM }

// SurplusM is how much longer the leg is than it must be, m.
func (l Leg) SurplusM() float64 { return l.LengthM - l.NeedM() }

// leastCoilM is what the lay takes up: nobody coils less.
const leastCoilM = 0.05

// CoilM is what is left over to be coiled, for all papers alike: the surplus in
// whole centimetres, or 0 where that is less than anybody coils.
func (l Leg) CoilM() float64 {
	mm := math.Round(l.SurplusM() * 1000)
	if mm < leastCoilM*1000 {
		return 0
	}
	return math.Round(mm/10) / 100
}

// Ways is how many connectors meet at the place: ends of legs, and terminators.
func (h Harness) Ways(id string) int {
	n := 0
	for _, l := range h.Legs {
		if l.From == id {
			n++
		}
		if l.To == id {
			n++
		}
	}
	if len(h.Bus) > 0 {
		for _, end := range []string{h.Bus[0], h.Bus[len(h.Bus)-1]} {
			if end == id {
				n++
			}
		}
	}
	return n
}

// TeesAt is how many junctions of three ways make the junction at that place:
// one for three ways, and one more plugged on for each further way. J1 has four
// where the gateway drops from it: feed, gateway, and the two arms of the
// backbone or an arm and a terminator.
func (h Harness) TeesAt(id string) int { return max(1, h.Ways(id)-2) }
