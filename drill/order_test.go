package drill

import (
	"slices"
	"testing"
)

func TestHeadOrder(t *testing.T) {
	at := func(id HeadID, forward, right float64) Head {
		return Head{ID: id, At: Point{Forward: forward, Right: right}}
	}
	for _, c := range []struct {
		name  string
		heads []Head
		want  []HeadID
	}{
		{"none", nil, nil},
		{"one rank, left to right", []Head{at("B", 0, 2), at("A", -0.5, -2)}, []HeadID{"A", "B"}},
		// Contract: within 0.75 m fore-and-aft is one rank; 0.75 itself is within,
		// though -0.4 - -1.15 is a hair more than 0.75 in binary.
		{"exactly 0.75 m apart", []Head{at("F", -0.4, 3), at("R", -1.15, -3)}, []HeadID{"R", "F"}},
		{"0.76 m apart", []Head{at("R", -1.16, -3), at("F", -0.4, 3)}, []HeadID{"F", "R"}},
		// Each 0.5 behind the one before: the rank is measured from its front head.
		{"a staircase", []Head{at("A", 0, 0), at("B", -0.5, -1), at("C", -1, -2)}, []HeadID{"B", "A", "C"}},
		{"same place keeps the order described", []Head{at("Z", 0, 0), at("M", 0, 0), at("A", 0, 0)}, []HeadID{"Z", "M", "A"}},
	} {
		if got := HeadOrder(&Drill{Heads: c.heads}); !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}
