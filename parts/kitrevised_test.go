package parts

import (
	"cmp"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func drawNeed(t *rapid.T, name string) Need {
	n := Need{
		Nodes:     []Some{{"node-12", rapid.IntRange(1, 9).Draw(t, name+" nodes")}},
		FreePorts: rapid.IntRange(0, 20).Draw(t, name+" free"),
		TubesM:    rapid.SliceOfN(rapid.Float64Range(0.2, 8), 0, 60).Draw(t, name+" tubes"),
	}
	for _, mm := range []float64{25, 32} {
		if k := rapid.IntRange(0, 40).Draw(t, name+" sensors"); k > 0 {
			n.Hoses = append(n.Hoses, HoseNeed{MM: mm, Sensors: k})
		}
	}
	return n
}

// A kit revised from one need to another is that of the other, but for the order
// of lines of one kind.
func TestRevised(t *testing.T) {
	cat := BuiltIn()
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawNeed(t, "before"), drawNeed(t, "now")
		kit, want := cat.Kit(a), cat.Kit(b)
		got := kit.Revised(a, b, cat)
		if !slices.IsSortedFunc(got.Lines, byKind) {
			t.Fatalf("not in the order of kinds: %+v", got.Lines)
		}
		byPart := func(a, b Line) int { return cmp.Compare(a.Part, b.Part) }
		slices.SortFunc(got.Lines, byPart)
		slices.SortFunc(want.Lines, byPart)
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%+v\nwant %+v", got, want)
		}
		if !reflect.DeepEqual(kit, cat.Kit(a)) {
			t.Fatal("the kit before was changed")
		}
	})
}

// By hand: a shelf with the one roll of 25 m that 10 tubes of 2 m take (23 m as
// cut, 0.05 of it to spare); with a tube of 12 m the 13.8 m more take a second
// roll, which the shelf has not, so it is ordered.
func TestRevisedFromShelf(t *testing.T) {
	cat := Catalogue{Parts: []Part{{ID: "roll", Kind: Tube, LengthM: 25, Price: 40}}}
	before := Need{TubesM: []float64{2, 2, 2, 2, 2, 2, 2, 2, 2, 2}}
	now := Need{TubesM: append([]float64{12}, before.TubesM...)}
	kit := cat.Kit(before).From(Shelf{{Part: "roll", Pieces: 1}}, ShelfPlan{Least: LeastPieces}, nil)
	got := kit.Revised(before, now, cat)
	if l := kit.Lines[0]; l.Count != 1 || l.Shelf != 1 || l.Order != 0 {
		t.Fatalf("before: %+v", l)
	}
	if l := got.Lines[0]; l.Count != 2 || l.Shelf != 1 || l.Order != 1 || got.Shelf.Order != kit.Shelf.Order+1 {
		t.Errorf("%+v, order of %d pieces", l, got.Shelf.Order)
	}
	if back := got.Revised(now, before, cat); back.Lines[0].Count != 1 || back.Lines[0].Order != 0 || back.Shelf.Order != kit.Shelf.Order {
		t.Errorf("and back: %+v", back.Lines[0])
	}
}
