package views

import (
	"bytes"
	"strings"
	"testing"

	"runproof/allocate"
	"runproof/drawing"
	"runproof/drawing/svg"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	whole "runproof/plan"
)

// planned is a fit with all that a plan has.
func planned(t testing.TB, d *drill.Drill) *fit.Fit {
	t.Helper()
	o, err := whole.Make(d, parts.BuiltIn(), whole.Options{Effort: allocate.Effort / 20}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return o.Fit
}

// outfits are the battery, each with the cart in both places and a described
// linkage in one of them.
func outfits(t testing.TB) map[string]*fit.Fit {
	all := make(map[string]*fit.Fit)
	for _, c := range drill.Cases() {
		d := *c.Drill
		all[c.Name] = planned(t, &d)
		d.Cart.Position = drill.CartBehind
		d.Lift = drill.Lift{Kind: drill.LiftParallel, ArmM: 0.8, PivotUpM: 0.7, PinWorkUpM: 0.5, PinRaisedUpM: 0.85}
		all[c.Name+", cart behind"] = planned(t, &d)
	}
	return all
}

// Nothing leaves the sheet and no word runs into another, on paper of two
// widths and in a low strip of a page.
func TestHarnessAndSideOfEveryDrill(t *testing.T) {
	for name, f := range outfits(t) {
		for _, w := range []float64{160, 280} {
			if len(f.Harness.Legs) > 0 {
				checkSheet(t, name, Harness(f, Options{WidthMM: w}))
			}
			checkSheet(t, name, Side(f, Options{WidthMM: w}))
		}
		low := drawing.NewSheet(drawing.Size{WMM: 190, HMM: 130})
		if used := DrawHarness(low, drawing.Rect{X: 5, Y: 5, W: 180, H: 120}, f); used > 125 {
			t.Errorf("%s: %.0f mm of 120 used", name, used)
		}
		checkSheet(t, name, low)
	}
}

// Every box and leg of a usual drill has its name on the drawing.
func TestHarnessNamesEverything(t *testing.T) {
	d, _, err := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25, Wings: 2})
	if err != nil {
		t.Fatal(err)
	}
	f := planned(t, d)
	said := strings.Join(Harness(f, Options{}).Texts(), "\n")
	for _, n := range f.Nodes {
		if !strings.Contains(said, n.Serial) {
			t.Errorf("node %s is not named", n.Serial)
		}
	}
	for _, l := range f.Harness.Legs {
		if !strings.Contains(said, l.ID) {
			t.Errorf("leg %s is not named", l.ID)
		}
	}
	side := strings.Join(Side(f, Options{}).Texts(), "\n")
	for _, want := range []string{"operator", "gateway", "antenna", "at least 0.61 m", "power point", "Work-state switch"} {
		if !strings.Contains(side, want) {
			t.Errorf("the side view lacks %q:\n%s", want, side)
		}
	}
}

// A long feed without anything to see is cut, and it says how much is missing.
func TestLongFeedIsCut(t *testing.T) {
	d, _, err := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	d.Supply.At = &drill.Point{Forward: 30, Up: 1}
	s := drawing.NewSheet(drawing.Size{WMM: 200, HMM: 120})
	DrawHarness(s, drawing.Rect{X: 5, Y: 5, W: 190, H: 110}, planned(t, d))
	if said := strings.Join(s.Texts(), "\n"); !strings.Contains(said, "not drawn") {
		t.Errorf("nothing is cut:\n%s", said)
	}
}

func TestGoldenHarness(t *testing.T) {
	d, _, err := drill.New(drill.Facts{Rows: 24, SpacingM: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := svg.Write(&out, Harness(planned(t, d), Options{WidthMM: 180}), svg.Options{}); err != nil {
		t.Fatal(err)
	}
	golden(t, "harness.svg", out.Bytes())
}

func TestPDFHasAPageForEachView(t *testing.T) {
	f := planned(t, drill.Cases()[2].Drill)
	var out bytes.Buffer
	if err := WritePDF(&out, f, Options{WidthMM: 200}); err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(out.Bytes(), []byte("%PDF-")) {
		t.Error("no PDF")
	}
	if got := len(Sheets(f, Options{})); got != 3 {
		t.Errorf("%d views of a fit with a harness", got)
	}
	if got := len(Sheets(fixture(drill.Cases()[2].Drill), Options{})); got != 2 {
		t.Errorf("%d views of a fit without one", got)
	}
}
