package yard

import (
	"slices"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
)

// planned makes a fit from the facts of a phone call, as a user would.
func planned(t *testing.T, facts drill.Facts, o plan.Options) *fit.Fit {
	t.Helper()
	d, _, err := drill.New(facts)
	if err != nil {
		t.Fatal(err)
	}
	out, err := plan.Make(d, parts.BuiltIn(), o, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return out.Fit
}

func textOf(t *testing.T, f *fit.Fit, name string) string {
	t.Helper()
	return strings.Join(textsOf(paper(t, Input{Fit: f}, name)), " ")
}

// TestWhatNobodySaidIsKnownAsSuch: a phone call gives no serials, no power point
// and no inside of the hoses. Each paper that builds on one of them says so, and
// none does once it is said.
func TestWhatNobodySaidIsKnownAsSuch(t *testing.T) {
	words := map[string][]string{
		"pre-assembly": {"The serials of the nodes were not given", "Its own serial", "Nobody has said where the power point is", "Not in this list: 40 sensors and 80 hose clamps"},
		"staging":      {"nobody has measured it"},
		"run-sheet":    {"own serial;"},
	}
	unsaid := planned(t, drill.Facts{Rows: 40, SpacingM: 0.25}, plan.Options{})
	d := unsaid.Drill
	d.Supply.At = &drill.Point{Forward: 2.3, Up: 1.2}
	d.Heads = slices.Clone(d.Heads)
	for i := range d.Heads {
		d.Heads[i].HoseMM = 25
	}
	out, err := plan.Make(&d, parts.BuiltIn(), plan.Options{Serials: []string{"4101", "4102", "4103", "4104", "4105", "4106"}}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range words {
		without, with := textOf(t, unsaid, name), textOf(t, out.Fit, name)
		for _, w := range want {
			if !strings.Contains(without, w) {
				t.Errorf("%s lacks %q", name, w)
			}
			if strings.Contains(with, w) {
				t.Errorf("%s says %q of what is said", name, w)
			}
		}
	}
}

// TestJunctionKeepsOutOfAJoint: by hand, a joint from the hitch, 2 m ahead, to the
// tractor, 2.4 m ahead, and the gateway over the hitch: what the plan ties half-way
// goes to the hitch. What lies on a link that does not turn, or at its end, stays.
func TestJunctionKeepsOutOfAJoint(t *testing.T) {
	f := whole(drill.Cases()[0].Drill)
	f.Harness.Frame = drill.Frame{
		Points: []drill.FramePoint{{ID: "bar"}, {ID: drill.PointHitch, At: drill.Point{Forward: 2, Up: 1}}, {ID: drill.PointTractor, At: drill.Point{Forward: 2.4, Up: 1}}},
		Links:  []drill.FrameLink{{From: "bar", To: drill.PointHitch}, {From: drill.PointHitch, To: drill.PointTractor, SlackM: 0.5}},
	}
	hitch := drill.Point{Forward: 2, Up: 1}
	for i := range f.Harness.Places {
		if f.Harness.Places[i].Kind == fit.GatewayPlace {
			f.Harness.Places[i].At = drill.Point{Forward: 2, Up: 1.4}
		}
	}
	j := mustJob(t, f)
	for _, c := range []struct {
		at, want drill.Point
		beside   string
	}{
		{drill.Point{Forward: 2.25, Up: 1}, hitch, "hitch"},
		{hitch, hitch, ""},
		{drill.Point{Forward: 1, Up: 0.5}, drill.Point{Forward: 1, Up: 0.5}, ""},
		{drill.Point{Forward: 2.25, Up: 1.3}, drill.Point{Forward: 2.25, Up: 1.3}, ""},
	} {
		p := fit.Place{ID: "J1", Kind: fit.JunctionPlace, At: c.at, OnFrame: c.at}
		if at, beside := j.stayPut(p); at != c.want || beside != c.beside {
			t.Errorf("at %v: %v beside %q, want %v beside %q", c.at, at, beside, c.want, c.beside)
		}
	}
}

// TestCablesNameTheirLegs: as many cables of each length stand behind the legs
// that the parts list names as it counts pieces.
func TestCablesNameTheirLegs(t *testing.T) {
	f := planned(t, drill.Facts{Rows: 48, SpacingM: 0.25, Wings: 2}, plan.Options{})
	j := mustJob(t, f)
	for _, l := range f.Kit.Lines {
		if l.Kind != parts.Leg {
			continue
		}
		n := 0
		for _, leg := range f.Harness.Legs {
			if slices.Contains(strings.FieldsFunc(j.legsOfPiece(l.Part), func(r rune) bool { return strings.ContainsRune(" ,()", r) }), leg.ID) {
				for _, id := range leg.Pieces {
					if id == l.Part {
						n++
					}
				}
			}
		}
		if n != l.Count {
			t.Errorf("%s: %q take %d pieces, the list has %d", l.Part, j.legsOfPiece(l.Part), n, l.Count)
		}
	}
}

// TestLabelStock: the sheet asks for as many sheets of labels as are printed, with
// and without a sheet that was begun before.
func TestLabelStock(t *testing.T) {
	f := bare(drill.Cases()[0].Drill)
	j := mustJob(t, f)
	n := len(j.labels())
	l, err := ParseLabels("63.5x38.1", j.in.Paper)
	if err != nil {
		t.Fatal(err)
	}
	j.in.Labels = l
	for _, skip := range []int{0, 20} {
		j.in.Skip = skip
		b, err := j.labelBook()
		if err != nil {
			t.Fatal(err)
		}
		if got, want := j.labelStock(), one(len(b.Sheets), "sheet")+" of 21 labels of 63.5x38.1\u00a0mm, at 100 %"; got != want {
			t.Errorf("%d labels after %d: %q, want %q", n, skip, got, want)
		}
	}
	j.in.Labels, _ = ParseLabels("62x29", j.in.Paper)
	if got, want := j.labelStock(), one(n, "label")+" from a roll of 62x29\u00a0mm"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
