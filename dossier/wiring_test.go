package dossier

import (
	"fmt"
	"strings"
	"testing"

	"runproof/allocate"
	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
)

func planned(t testing.TB, d *drill.Drill) *fit.Fit {
	t.Helper()
	o, err := plan.Make(d, parts.BuiltIn(), plan.Options{Effort: allocate.Effort / 20}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return o.Fit
}

// The pages on harness, air and rules hold what the fit says, on every drill and
// both papers, and nothing runs into anything.
func TestWholeFitOfEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		f := planned(t, c.Drill)
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			b := Book(Input{Fit: f, Paper: paper})
			checkSheets(t, c.Name, b.Sheets)
			if len(f.Harness.Legs) == 0 {
				continue
			}
			said := strings.Join(strings.Fields(strings.Join(pageTexts(b), " ")), " ")
			for _, l := range f.Harness.Legs {
				if !strings.Contains(said, l.ID) {
					t.Errorf("%s: leg %s is not in the book", c.Name, l.ID)
				}
			}
			for _, r := range f.Checks[:min(len(f.Checks), 5)] {
				if !strings.Contains(said, strings.Fields(r.Rule)[0]) {
					t.Errorf("%s: rule %q is not in the book", c.Name, r.Rule)
				}
			}
			for id, v := range f.Power[0].Volts {
				if !strings.Contains(said, fmt.Sprintf("%.2f", v)) {
					t.Errorf("%s: %.2f V at %s are not in the book", c.Name, v, id)
				}
			}
		}
	}
}
