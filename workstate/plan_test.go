package workstate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"runproof/allocate"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/workstate"
)

func fitted(t testing.TB, d *drill.Drill) *fit.Fit {
	t.Helper()
	f, _, err := allocate.Fit(d, parts.BuiltIn(), nil, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func usual(t testing.TB, l drill.Lift) *fit.Fit {
	t.Helper()
	d, _, err := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	d.Lift = l
	return fitted(t, d)
}

// The worked example of the parallel linkage (span 25.28°, half of it 12.64 above
// 6 + 3.8 + 1) can be used; the rigid frame of 6 m that rises 0.30 m (2.87°) is
// refused; what is not described is not judged.
func TestPlan(t *testing.T) {
	for _, c := range []struct {
		name string
		l    drill.Lift
		span float64
		want check.Verdict
		way  fit.WorkWay
	}{
		{"parallel", drill.Lift{Kind: drill.LiftParallel, ArmM: 0.8, PivotUpM: 0.7, PinWorkUpM: 0.5, PinRaisedUpM: 0.85}, 25.2844, check.Kept, fit.WorkBelow},
		{"parallel, pin goes down to lift", drill.Lift{Kind: drill.LiftParallel, ArmM: 0.8, PivotUpM: 0.7, PinWorkUpM: 0.85, PinRaisedUpM: 0.5}, 25.2844, check.Kept, fit.WorkAbove},
		{"parallel, steep fields", drill.Lift{Kind: drill.LiftParallel, ArmM: 0.8, PivotUpM: 0.7, PinWorkUpM: 0.5, PinRaisedUpM: 0.85, SlopeDeg: 9}, 25.2844, check.Broken, fit.WorkBelow},
		{"rigid", drill.Lift{Kind: drill.LiftRigid, ArmM: 6, PinWorkUpM: 0, PinRaisedUpM: 0.3}, 2.866, check.Broken, fit.WorkBelow},
		{"not described", drill.Lift{}, math.NaN(), check.Unknown, fit.WorkUnknown},
		{"only its kind", drill.Lift{Kind: drill.LiftRockShaft}, math.NaN(), check.Unknown, fit.WorkUnknown},
		{"an arm too short for its pins", drill.Lift{Kind: drill.LiftParallel, ArmM: 0.1, PivotUpM: 0.7, PinWorkUpM: 0.5, PinRaisedUpM: 0.85}, math.NaN(), check.Broken, fit.WorkUnknown},
	} {
		w, rs := workstate.Plan(usual(t, c.l), parts.BuiltIn())
		if rs.Worst() != c.want || w.Work != c.way || len(w.Options) != 3 || w.Node == "" {
			t.Errorf("%s: %v, %+v", c.name, rs, w)
		}
		if s := w.Options[0].SpanDeg; (s == nil) != math.IsNaN(c.span) || s != nil && math.Abs(*s-c.span) > 1e-3 {
			t.Errorf("%s: span %v, want %v", c.name, s, c.span)
		}
		if w.Options[0].Usable != (c.want == check.Kept) {
			t.Errorf("%s: usable %v", c.name, w.Options[0].Usable)
		}
	}
}

// Figures that cannot be are named, in the rule that they break and where the
// angle is not known for them.
func TestImpossibleLiftIsNamed(t *testing.T) {
	for _, c := range []struct {
		name string
		l    drill.Lift
		want []string
	}{
		{"raised pin out of reach", drill.Lift{Kind: drill.LiftRockShaft, ArmM: 0.8, PivotUpM: 0.001, PinWorkUpM: 0.5, PinRaisedUpM: 0.85}, []string{
			"pin within reach of its arm, pin_raised_up_m 0.85 from pivot_up_m 0.001: 0.85 m, at most 0.80 m, off by 0.049 m (geometry); one of pin_raised_up_m, pivot_up_m and arm_m is wrong: measure them again",
			"pin_raised_up_m 0.85 is 0.849 m from pivot_up_m 0.001, and arm_m 0.8 does not reach so far",
		}},
		{"pin at work out of reach", drill.Lift{Kind: drill.LiftParallel, ArmM: 0.5, PivotUpM: 0.9, PinWorkUpM: 0.3, PinRaisedUpM: 0.9}, []string{"off by 0.10 m", "pin_work_up_m 0.3 is 0.6 m from pivot_up_m 0.9"}},
		{"a pin that stays", drill.Lift{Kind: drill.LiftParallel, ArmM: 0.5, PivotUpM: 0.9, PinWorkUpM: 0.7, PinRaisedUpM: 0.7}, []string{"pin_work_up_m and pin_raised_up_m are both 0.7"}},
		{"kind not said", drill.Lift{ArmM: 0.5, PivotUpM: 0.9, PinWorkUpM: 0.7, PinRaisedUpM: 0.9}, []string{"say the kind of linkage"}},
	} {
		_, rs := workstate.Plan(usual(t, c.l), parts.BuiltIn())
		var said string
		for _, r := range rs {
			said += r.String() + "; " + r.Advice + "\n"
		}
		for _, want := range c.want {
			if !strings.Contains(said, want) {
				t.Errorf("%s: %s\nlacks %s", c.name, said, want)
			}
		}
	}
}

func TestContact(t *testing.T) {
	w, rs := workstate.Plan(usual(t, drill.Lift{SwitchContact: true}), parts.BuiltIn())
	if w.Kind != fit.ContactSwitch || rs.Worst() != check.Unknown || !w.Options[0].Usable {
		t.Errorf("%+v, %v", w, rs)
	}
}

func TestEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fitted(t, c.Drill)
		w, rs := workstate.Plan(f, parts.BuiltIn())
		if (w.Node == "") != (len(f.Nodes) == 0) || rs.Count(check.Broken) > 0 {
			t.Errorf("%s: %+v, %v", c.Name, w, rs)
		}
	}
}

func ExampleThresholdsOf() {
	work, raised := workstate.LinkDeg(0.50, 0.70, 0.80), workstate.LinkDeg(0.85, 0.70, 0.80)
	th := workstate.ThresholdsOf(work, raised)
	fmt.Printf("%.1f° at work, %.1f° raised: raised past %.1f°, in the ground past %.1f°\n", work, raised, th.RaiseDeg, th.LowerDeg)
	// Output: -14.5° at work, 10.8° raised: raised past 2.0°, in the ground past -5.6°
}
