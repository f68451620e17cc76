package yard

import (
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
)

// TestSheetsOfRealPlans draws what the planner makes of every drill: nothing
// is said to be missing, nothing leaves its page, every node has its volts, and
// the distances that the sheet asks for are those of the plan's rules.
func TestSheetsOfRealPlans(t *testing.T) {
	for _, c := range drill.Cases() {
		out, err := plan.Make(c.Drill, parts.BuiltIn(), plan.Options{}, fit.Provenance{By: "runproof plan"})
		if err != nil {
			t.Fatal(err)
		}
		f := out.Fit
		for _, name := range worked {
			b := paper(t, Input{Fit: f}, name)
			checkPages(t, c.Name+", "+name, b)
			for _, s := range textsOf(b) {
				if strings.HasPrefix(s, "Not in this fit") || strings.Contains(s, "NaN") {
					t.Errorf("%s, %s: %q", c.Name, name, s)
				}
			}
		}
		checkVolts(t, c.Name, f)
		checkCounts(t, c.Name, f)
		for _, r := range f.Checks {
			if r.Rule == "antenna to the operator" && r.Limit != antennaToOperatorM {
				t.Errorf("the plan keeps the antenna %v m from the operator, the sheet %v m", r.Limit, antennaToOperatorM)
			}
		}
	}
}

// checkVolts finds the voltage of every box that has power on the run sheet.
func checkVolts(t *testing.T, name string, f *fit.Fit) {
	t.Helper()
	j, err := newJob(Input{Fit: f})
	if err != nil {
		t.Fatal(err)
	}
	texts := strings.Join(textsOf(j.runSheet()), "\n")
	for _, c := range f.Power {
		if c.Case != "engine off" {
			continue
		}
		for _, n := range f.Nodes {
			if want := "node " + n.Serial + " (head\u00a0" + string(n.Head) + ")\n" + j.units.volts(c.Volts[n.Serial]) + "\n"; !strings.Contains(texts, want) {
				t.Errorf("%s: the run sheet has not %q", name, want)
			}
		}
	}
}

// checkCounts holds the sheets to the parts list: as many labels as it counts,
// as many caps as ports are free, as many tees as the junctions take.
func checkCounts(t *testing.T, name string, f *fit.Fit) {
	t.Helper()
	j, err := newJob(Input{Fit: f})
	if err != nil {
		t.Fatal(err)
	}
	free, tees := 0, 0
	for _, n := range j.nodes {
		free += len(n.Free)
	}
	for _, p := range f.Harness.Places {
		if p.Kind == fit.JunctionPlace {
			tees += f.Harness.TeesAt(p.ID)
		}
	}
	for kind, n := range map[parts.Kind]int{parts.Label: len(j.labels()), parts.Cap: free, parts.Tee: tees, parts.Terminator: len(j.busEnds())} {
		if got := f.Kit.Count(kind); got != n {
			t.Errorf("%s: the kit counts %d pieces of %s, the sheets %d", name, got, kind, n)
		}
	}
}
