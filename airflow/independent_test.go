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
