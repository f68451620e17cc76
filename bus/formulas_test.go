package bus

import (
	"math"
	"testing"

	"runproof/parts"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// CiA DS-102 V2.0, table of lengths, notes 1 to 3 (two secondary prints): 210,
// 300 and 450 ns for a node's way in and out, the two last with optocouplers.
// CiA rounds its printed lengths: 0.89 to 1.22 of what is computed.
func TestGuidanceLength(t *testing.T) {
	for _, c := range []struct{ kbitS, nodeNS, seg1NS, lengthM, printedM float64 }{
		{1000, 210, 625, 20.5, 25},
		{800, 210, 875, 45.5, 50},
		{500, 300, 1625, 102.5, 100},
		{250, 300, 3250, 265, 250},
		{125, 450, 6500, 560, 500},
	} {
		r, _ := Rules(parts.CiA, c.kbitS)
		near(t, "t_seg1", r.Seg1S(), c.seg1NS*1e-9, 1e-15)
		near(t, "length", r.GuidanceLengthM(c.nodeNS*1e-9), c.lengthM, 1e-6)
		if q := c.printedM / r.GuidanceLengthM(c.nodeNS*1e-9); q < 0.89 || q > 1.22 || r.BusM.Is != c.printedM {
			t.Errorf("%g kbit/s: printed %g m, %.2f of computed", c.kbitS, r.BusM.Is, q)
		}
	}
}

// Propagation segment by a microcontroller reference manual, with its 255 ns of
// ISO 11898; the greatest lengths computed by two independent methods.
func TestPropagation(t *testing.T) {
	for _, c := range []struct{ kbitS, lengthM, propNS, marginNS, maxM float64 }{
		{250, 40, 910, 2340, 274},
		{500, 40, 910, 715, 111.5},
		{1000, 40, 910, -285, 11.5},
		{1000, 10, 610, 15, 11.5},
		{125, 599, 6500, 0, 599},
	} {
		r, _ := Rules(parts.CiA, c.kbitS)
		near(t, "t_prop", PropagationS(c.lengthM), c.propNS*1e-9, 1e-15)
		near(t, "margin", r.Seg1S()-PropagationS(c.lengthM), c.marginNS*1e-9, 1e-15)
		near(t, "greatest length", r.DelayLengthM(), c.maxM, 1e-6)
	}
	for kbitS, want := range map[float64]float64{1000: 0.75, 800: 0.8, 500: 0.875, 250: 0.875, 125: 0.875} { // CiA DS-102 V2.0
		r, _ := Rules(parts.CiA, kbitS)
		near(t, "sample point", r.SamplePoint(), want, 1e-12)
	}
	near(t, "rule of thumb (SLLA486B)", ThumbLengthM(250), 200, 1e-9)
}

// CiA DR-303-1, table of lengths (two secondary prints, to 10 m), by equation
// 16 of appendix 3 of AN96116 (1996); ohm per metre and k = 0.2 were chosen to
// fit it. Computed values by an independent program.
func TestReachAgainstPrintedTable(t *testing.T) {
	for _, c := range []struct {
		mohmPM            float64
		boxes             int
		computed, printed float64
	}{
		{90, 32, 201.524929, 200},
		{90, 64, 173.787153, 170},
		{90, 100, 150.485347, 150},
		{50, 32, 362.744872, 360},
		{50, 64, 312.816876, 310},
		{50, 100, 270.873625, 270},
		{33, 32, 549.613442, 550},
		{33, 64, 473.964964, 470},
		{33, 100, 410.414583, 410},
	} {
		l := Levels{OutV: 1.5, NeedV: NeedV(1, 1.5, 0.2), EndOhm: 118, BoxOhm: 20e3, OhmPerM: c.mohmPM / 1e3, Boxes: c.boxes}
		near(t, "reach", l.ReachM(), c.computed, 1e-6*c.computed)
		near(t, "reach against print", l.ReachM(), c.printed, 0.023*c.printed)
		near(t, "level at the reach", l.FarV(l.ReachM()), l.NeedV, 1e-12)
	}
	near(t, "V_req", NeedV(1, 1.5, 0.2), 1.1, 1e-12)
}

// Far end of 40 m of 0.5 mm2 with 30 boxes: two independent methods.
func TestFarLevel(t *testing.T) {
	l := Levels{OutV: 1.5, NeedV: 1, EndOhm: 118, BoxOhm: 20e3, OhmPerM: 0.0371, Boxes: 30}
	near(t, "R_far", l.FarOhm(), 100.759969, 1e-6*100)
	near(t, "V", l.FarV(40), 1.45708004, 1.5e-6)
	near(t, "greatest length down to the threshold alone: loop 50.38 ohm", l.ReachM(), l.FarOhm()*0.5/(2*0.0371), 1e-9)
	// The same source takes a threshold of 1.1 V: 36.64 ohm of loop, 493.8 m.
	l.NeedV = 1.1
	near(t, "greatest loop", 2*l.OhmPerM*l.ReachM(), 36.6399888, 1e-6*37)
	near(t, "greatest length", l.ReachM(), 493.800388, 1e-6*494)
	l.OhmPerM = 0
	if !math.IsInf(l.ReachM(), 1) {
		t.Error("a cable without resistance limits the length")
	}
}
