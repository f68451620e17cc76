package workstate

import (
	_ "embed"
	"encoding/json"
	"math"
	"slices"
	"testing"
)

// Check values computed with two independent methods; each names its source.
//
//go:embed testdata/wiring.json
var wiringJSON []byte

func item(t *testing.T, id string, in, want any) {
	t.Helper()
	var all []struct {
		ID               string
		Inputs, Expected json.RawMessage
	}
	if err := json.Unmarshal(wiringJSON, &all); err != nil {
		t.Fatal(err)
	}
	for _, it := range all {
		if it.ID == id {
			if json.Unmarshal(it.Inputs, in) != nil || json.Unmarshal(it.Expected, want) != nil {
				t.Fatal("bad item ", id)
			}
			return
		}
	}
	t.Fatal("no item ", id)
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) < 1e-6) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

func TestAngles(t *testing.T) {
	var link struct {
		Arm    float64 `json:"arm_m"`
		Pivot  float64 `json:"pivot_m"`
		Work   float64 `json:"pin_work_m"`
		Raised float64 `json:"pin_raised_m"`
	}
	var deg struct{ Work, Raised, Delta, Mid float64 }
	item(t, "tilt.link", &link, &deg)
	work, raised := LinkDeg(link.Work, link.Pivot, link.Arm), LinkDeg(link.Raised, link.Pivot, link.Arm)
	near(t, "at work", work, deg.Work)
	near(t, "raised", raised, deg.Raised)
	near(t, "span", raised-work, deg.Delta)
	th := ThresholdsOf(work, raised)
	near(t, "middle", (th.RaiseDeg+th.LowerDeg)/2, deg.Mid)

	var rigid struct {
		Rise float64 `json:"rise_m"`
		Far  float64 `json:"pivot_distance_m"`
	}
	var pitch float64
	item(t, "tilt.rigid", &rigid, &pitch)
	near(t, "rigid frame", LinkDeg(rigid.Rise, 0, rigid.Far), pitch)

	var a struct {
		A  float64 `json:"a"`
		Ax float64 `json:"ax_g"`
		Az float64 `json:"az_g"`
	}
	var tilt float64
	item(t, "tilt.accel.error", &a, &tilt)
	near(t, "braking", BrakingDeg(a.A), tilt)
	item(t, "tilt.atan2", &a, &tilt)
	near(t, "accelerometer", TiltDeg(a.Ax, 0, a.Az), tilt)
	if !Steady(a.Ax, 0, a.Az) || Steady(0.5, 0, 1) {
		t.Error("1 g is not steady, or 1.12 g is")
	}
	if !math.IsNaN(LinkDeg(2, 0.7, 0.8)) {
		t.Error("a pin farther away than the arm is long has an angle")
	}
}

func TestWatch(t *testing.T) {
	var in struct {
		Angles []float64 `json:"angles_deg"`
		Raise  float64   `json:"raise_above"`
		Lower  float64   `json:"lower_below"`
		Hold   int       `json:"hold_samples"`
	}
	var want struct{ Changes []int }
	item(t, "tilt.fsm", &in, &want)
	for _, sign := range []float64{1, -1} { // mounted the other way round, all angles turn
		w := NewWatch(Thresholds{sign * in.Raise, sign * in.Lower}, in.Hold, false)
		lifted, got := false, []int(nil)
		for i, deg := range in.Angles {
			if now := w.Lifted(sign * deg); now != lifted {
				got, lifted = append(got, i), now
			}
		}
		if !slices.Equal(got, want.Changes) {
			t.Errorf("sign %g: changes at %v, want %v", sign, got, want.Changes)
		}
	}
}
