package yard

import (
	"math"
	"slices"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
)

// TestRunSheetGoesInWorkingOrder: what a person reads top to bottom must be
// possible in that order (common practice, no source).
func TestRunSheetGoesInWorkingOrder(t *testing.T) {
	f := whole(drill.Cases()[0].Drill)
	text := strings.Join(textsOf(paper(t, Input{Fit: f}, "run-sheet")), " ")
	at := 0
	for _, want := range []string{
		"wheels chocked", "Battery minus is off", "Working high", "Gateway on the", "Its lead", "plugged in", "Terminators are on",
		"behind the empty fuse holder", "Battery minus on", "Fuse in", "Locks and stands are off", "engine on", "Raise and lower; fold",
		"engine off, key out, wheels chocked", "Engine on, monitor", "Recording stopped", "Every run is proved",
	} {
		i := strings.Index(text[at:], want)
		if i < 0 {
			t.Fatalf("%q does not stand after what must be done before it", want)
		}
		at += i
	}
}

// TestEachTerminatorGoesOnOnce: the bench has one step for each end of the bus.
func TestEachTerminatorGoesOnOnce(t *testing.T) {
	for _, c := range drill.Cases() {
		out, err := plan.Make(c.Drill, parts.BuiltIn(), plan.Options{}, fit.Provenance{By: "test"})
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Join(textsOf(paper(t, Input{Fit: out.Fit}, "pre-assembly")), " ")
		if got := strings.Count(text, "the bus ends here") + strings.Count(text, "the bus ends there"); got != 2 {
			t.Errorf("%s: %d terminators go on, want 2", c.Name, got)
		}
	}
}

// TestWithoutTerminator: by hand, 120 ohm beside 122 ohm (a terminator behind
// 2 ohm of wire) read 60.496 ohm; with the first off, 122 ohm are left.
func TestWithoutTerminator(t *testing.T) {
	j := &job{f: &fit.Fit{Bus: fit.Bus{Terminators: []fit.Terminator{{At: "J1", Ohm: 120}}}}}
	if got := j.withoutTerminator("J1", 120.0*122/(120+122)); math.Abs(got-122) > 1e-9 {
		t.Errorf("%v ohm, want 122", got)
	}
	for _, none := range []float64{j.withoutTerminator("4103", 60), j.withoutTerminator("J1", 0), j.withoutTerminator("J1", 130)} {
		if none != 0 {
			t.Errorf("%v ohm out of nothing", none)
		}
	}
}

// TestWalkMass: by hand, 48 rows at 0.25 m are 12 m; 46 open runs of 8 s are
// 368 s; at 2.2 m/s and 110 kg/ha that is 12 x 2.2 x 368 x 0.011 = 106.9 kg, in
// 6.1 min, which are called 7.
func TestWalkMass(t *testing.T) {
	d, _, err := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	d.Products[0].ID, d.Products[0].RateKgHa, d.Work.SpeedMPS = "seed", 110, 2.2
	f := bare(d)
	if len(f.Map) != 48 {
		t.Fatalf("%d runs", len(f.Map))
	}
	j := mustJob(t, f)
	for _, l := range f.Map[:2] {
		r := j.runs[l.Run]
		r.Closed = true
		j.runs[l.Run] = r
	}
	if got := (&page{job: j}).walkMass(); !strings.Contains(got, "about 107 kg of seed come out in 7 minutes") {
		t.Error(got)
	}
}

func mustJob(t *testing.T, f *fit.Fit) *job {
	t.Helper()
	j, err := newJob(Input{Fit: f})
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestHingesAreFoundOnTheSheet: each number in a table of slack stands in the
// list of hinges.
func TestHingesAreFoundOnTheSheet(t *testing.T) {
	for _, c := range drill.Cases() {
		out, err := plan.Make(c.Drill, parts.BuiltIn(), plan.Options{}, fit.Provenance{By: "test"})
		if err != nil {
			t.Fatal(err)
		}
		texts := textsOf(paper(t, Input{Fit: out.Fit}, "staging"))
		for _, h := range out.Fit.Harness.Hinges() {
			if !slices.Contains(texts, h.ID) {
				t.Errorf("%s: hinge %s is not listed", c.Name, h.ID)
			}
		}
	}
}
