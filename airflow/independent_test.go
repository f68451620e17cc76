package airflow

import (
	_ "embed"
	"encoding/json"
	"math"
	"testing"
)

//go:embed testdata/independent.json
var independentJSON []byte

// independent are figures of programs by other hands: fluids 1.0.22 (C. Bell,
// MIT licence) for saltation, drag, fall, friction and atmosphere; scipy 1.10.1
// for transit (integration of the equation of motion) and division (root of the
// pressure).
type independent struct {
	Saltation []struct {
		Mass, Dp, Rp, Rho, Bore, Fall               float64
		Rizk, M74, M75, M77, Weber, Schade, Geldart float64
	}
	Drag     []struct{ Re, Haider, Barati float64 }
	Fall     []struct{ Dp, Rp, Rho, Mu, Haider, Barati float64 }
	Friction []struct{ Re, Rel, Darcy float64 }
	Atmo     []struct{ Z, T, P, Mu float64 } `json:"atmosphere"`
	Transit  []struct {
		U, Vt, L, T, V float64
		Riser          bool
	}
	Division []struct {
		Hoses             []struct{ L, D float64 }
		K, Total, Rho, Mu float64
		Pa                float64
		Share             []float64
	}
}

func readIndependent(t *testing.T) (in independent) {
	t.Helper()
	if err := json.Unmarshal(independentJSON, &in); err != nil {
		t.Fatal(err)
	}
	return in
}

func alike(t *testing.T, name string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %.12g, the independent program says %.12g", name, got, want)
	}
}

func TestSaltationIndependently(t *testing.T) {
	for _, c := range readIndependent(t).Saltation {
		s, p := Stream{c.Mass, c.Bore, Gas{KgM3: c.Rho, PaS: 1.8e-5}}, Particle{c.Dp, c.Rp, c.Fall}
		alike(t, "Rizk", Rizk(s, p), c.Rizk, 1e-9)
		alike(t, "Matsumoto 1974", Matsumoto1974(s, p), c.M74, 1e-9)
		alike(t, "Matsumoto 1975", Matsumoto1975(s, p), c.M75, 1e-9)
		alike(t, "Matsumoto 1977", Matsumoto1977(s, p), c.M77, 1e-9)
		alike(t, "Weber", Weber(s, p), c.Weber, 1e-9)
		alike(t, "Schade", Schade(s, p), c.Schade, 1e-9)
		alike(t, "Geldart and Ling", GeldartLing(s), c.Geldart, 1e-9)
	}
}

func TestDragAndFallIndependently(t *testing.T) {
	in := readIndependent(t)
	for _, c := range in.Drag {
		alike(t, "drag, Haider and Levenspiel", HaiderLevenspiel(c.Re), c.Haider, 1e-9)
		alike(t, "drag, Barati", Barati(c.Re), c.Barati, 1e-9)
	}
	for _, c := range in.Fall {
		gas := Gas{c.Rho, c.Mu}
		alike(t, "fall, Haider and Levenspiel", FallByDragMPS(c.Dp, c.Rp, gas, HaiderLevenspiel), c.Haider, 1e-7)
		alike(t, "fall, Barati", FallByDragMPS(c.Dp, c.Rp, gas, Barati), c.Barati, 1e-7)
	}
}

func TestAirIndependently(t *testing.T) {
	in := readIndependent(t)
	for _, c := range in.Friction {
		alike(t, "friction", DarcyColebrook(c.Re, c.Rel), c.Darcy, 1e-9)
	}
	for _, c := range in.Atmo {
		kelvin, pa := StandardAtmosphere(c.Z)
		alike(t, "temperature", kelvin, c.T, 1e-8)
		alike(t, "pressure", pa, c.P, 1e-8)
		alike(t, "viscosity", ViscosityPaS(kelvin), c.Mu, 1e-6)
	}
}

func TestTransitAndDivisionIndependently(t *testing.T) {
	in := readIndependent(t)
	for _, c := range in.Transit {
		seconds, mps := LevelTransit(c.U, c.Vt, c.L)
		if c.Riser {
			seconds, mps = RiserTransit(c.U, c.Vt, c.L)
		}
		alike(t, "time", seconds, c.T, 1e-6)
		alike(t, "speed", mps, c.V, 1e-6)
	}
	for _, c := range in.Division {
		var hoses []Hose
		for _, h := range c.Hoses {
			hoses = append(hoses, Hose{LengthM: h.L, BoreM: h.D, Minor: c.K})
		}
		for i, s := range SmoothShares(hoses, c.Total, Gas{c.Rho, c.Mu}, 1) {
			alike(t, "share", s, c.Share[i], 1e-6)
		}
	}
}

// airflow.md, section 3: by the sphericity of seed papers, 0.63, wheat would
// fall at 4.8 m/s, where 6.3 to 10.5 was measured; a sphere is the upper bound,
// 12.1 for its geometric mean diameter of 3.9 mm, and drag 0.96 gives 7.727.
func TestSphericityTrap(t *testing.T) {
	gas := Gas{1.2, 1.81e-5}
	if v := FallByDragMPS(0.0039, 1350, gas, HaiderLevenspielShape(0.63)); math.Abs(v-4.8) > 0.05 {
		t.Errorf("sphericity 0.63: %.3f m/s, the trap is 4.8", v)
	}
	if v := FallByDragMPS(0.0039, 1350, gas, HaiderLevenspiel); math.Abs(v-12.1) > 0.05 {
		t.Errorf("sphere: %.3f m/s, want 12.1", v)
	}
	alike(t, "drag back from fall", DragFrom(0.0039, 1350, 1.2, FallMPS(0.0039, 1350, 1.2, 0.96)), 0.96, 1e-12)
}

// A fan with far more free flow than the lines take holds its pressure: the
// closed form for a held source is its limit. No primary loss: no gain; all of
// the loss there: n/(n-1), a source of constant volume.
func TestHeldIsAFanWithoutEnd(t *testing.T) {
	fan := Fan{ShutPa: 5000, FreeM3S: 1e6}
	for _, n := range []int{2, 8, 24} {
		for _, part := range []float64{0, 0.3, 0.9, 1} {
			const whole = 3e5
			alike(t, "air factor", AirFactorHeld(part, n), AirFactorOfFan(fan, part*whole, (1-part)*whole, n), 1e-9)
		}
		alike(t, "no primary loss", AirFactorHeld(0, n), 1, 1e-12)
		alike(t, "constant volume", AirFactorHeld(1, n), float64(n)/float64(n-1), 1e-12)
	}
}
