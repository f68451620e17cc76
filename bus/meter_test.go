package bus

import (
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"runproof/fit"
)

// Ohmmeter between the two wires, power off: two independent methods;
// terminators of 100, 120, 130 ohm by a secondary print of ISO 11898-2.
func TestReading(t *testing.T) {
	for _, c := range []struct {
		name         string
		ends         [2]float64
		boxes        int
		third        float64
		cableM, want float64
	}{
		{"two", [2]float64{120, 120}, 0, 0, 0, 60},
		{"one missing", [2]float64{120, 0}, 0, 0, 0, 120},
		{"two and 24 boxes", [2]float64{120, 120}, 24, 0, 0, 57.2519084},
		{"one and 24 boxes", [2]float64{120, 0}, 24, 0, 0, 109.489051},
		{"one end of 40 m", [2]float64{120, 120}, 0, 0, 40, 60.732936},
		{"least", [2]float64{100, 100}, 0, 0, 0, 50},
		{"most", [2]float64{130, 130}, 0, 0, 0, 65},
		{"two of 75", [2]float64{75, 75}, 0, 0, 0, 37.5},
		{"three", [2]float64{120, 60}, 0, 0, 0, 40}, // two of 120 at one end are 60
		{"three and 24 boxes", [2]float64{60, 120}, 24, 0, 0, 38.7596899},
	} {
		chain := Chain{Boxes: []int{c.boxes, 0}, CableM: []float64{c.cableM}, OhmPerM: 0.0371, BoxOhm: 30e3, EndsOhm: c.ends}
		near(t, c.name, chain.Reading(0), c.want, 1e-6*c.want)
	}
}

// A reading anywhere on a chain is the same by solving the network of
// conductances: one ampere goes in at the tap.
func TestReadingAgainstNodalSolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "taps")
		c := Chain{
			Boxes:   rapid.SliceOfN(rapid.IntRange(0, 3), n, n).Draw(t, "boxes"),
			CableM:  rapid.SliceOfN(rapid.Float64Range(0.1, 60), n-1, n-1).Draw(t, "cable"),
			OhmPerM: rapid.Float64Range(0.01, 0.2).Draw(t, "ohm/m"), BoxOhm: rapid.Float64Range(1e4, 1e5).Draw(t, "box"),
			EndsOhm: [2]float64{rapid.Float64Range(60, 140).Draw(t, "end"), rapid.Float64Range(60, 140).Draw(t, "other")},
		}
		tap := rapid.IntRange(0, n-1).Draw(t, "tap")
		g := mat.NewSymDense(n, nil)
		add := func(i, j int, v float64) { g.SetSym(i, j, g.At(i, j)+v) }
		for i, b := range c.Boxes {
			add(i, i, float64(b)/c.BoxOhm)
		}
		add(0, 0, 1/c.EndsOhm[0])
		add(n-1, n-1, 1/c.EndsOhm[1])
		for i, m := range c.CableM {
			s := 1 / (2 * c.OhmPerM * m)
			add(i, i, s)
			add(i+1, i+1, s)
			add(i, i+1, -s)
		}
		amps := mat.NewVecDense(n, nil)
		amps.SetVec(tap, 1)
		var volts mat.VecDense
		if err := volts.SolveVec(g, amps); err != nil {
			t.Skip(err)
		}
		if got, want := c.Reading(tap), volts.AtVec(tap); got-want > 1e-9*want || want-got > 1e-9*want {
			t.Fatalf("%.12g, want %.12g", got, want)
		}
	})
}

func meaning(bands []fit.OhmBand, ohm float64) fit.OhmMeaning {
	for _, b := range bands {
		if ohm >= b.FromOhm && (ohm < b.ToOhm || b.ToOhm == 0) {
			return b.Means
		}
	}
	return -1
}

// The usual words of fieldbus manuals (about 60 good, about 120 one only, 40
// one too many, under 5 short, above 1 kohm open) for a few boxes.
func TestBandsSayWhatManualsSay(t *testing.T) {
	bands := Bands(120, 3, 1)
	for ohm, want := range map[float64]fit.OhmMeaning{
		0: fit.OhmShort, 3: fit.OhmShort, 20: fit.OhmDoubtful, 36: fit.OhmTooMany, 40: fit.OhmTooMany, 43: fit.OhmTooMany,
		51: fit.OhmGood, 57: fit.OhmGood, 60: fit.OhmGood, 65: fit.OhmGood, 80: fit.OhmDoubtful, 101: fit.OhmOneMissing,
		120: fit.OhmOneMissing, 129: fit.OhmOneMissing, 500: fit.OhmDoubtful, 5000: fit.OhmOpen, 1e9: fit.OhmOpen,
	} {
		if got := meaning(bands, ohm); got != want {
			t.Errorf("%g ohm: %s, want %s", ohm, got, want)
		}
	}
}

// Whatever terminators and boxes the spread allows, the reading at either end
// is taken for what it is, and every reading is in one band.
func TestBandsFindTheCountOfTerminators(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(t, "boxes")
		c := Chain{Boxes: make([]int, n), OhmPerM: cableOhmPM, BoxOhm: rapid.Float64Range(boxLeastOhm, boxMostOhm).Draw(t, "box")}
		var loop float64
		for i := range c.Boxes {
			c.Boxes[i] = 1
			if i > 0 {
				c.CableM = append(c.CableM, rapid.Float64Range(0.1, 40/float64(n)).Draw(t, "cable"))
				loop += 2 * c.OhmPerM * c.CableM[i-1]
			}
		}
		end := func() float64 { return rapid.Float64Range(100, 130).Draw(t, "end") }
		both := func() float64 { a, b := end(), end(); return a * b / (a + b) }
		bands := Bands(120, n, loop)
		for want, ends := range map[fit.OhmMeaning][2]float64{
			fit.OhmGood: {end(), end()}, fit.OhmOneMissing: {end(), 0}, fit.OhmTooMany: {both(), end()},
		} {
			c.EndsOhm = ends
			for _, tap := range []int{0, n - 1} {
				if r := c.Reading(tap); meaning(bands, r) != want && !(want == fit.OhmTooMany && tap == n-1) {
					t.Fatalf("%.1f ohm at tap %d is %s, want %s (%v)", r, tap, meaning(bands, r), want, bands)
				}
			}
		}
		for i, b := range bands {
			if i > 0 && b.FromOhm != bands[i-1].ToOhm || i == 0 && b.FromOhm != 0 || (b.ToOhm == 0) != (i == len(bands)-1) {
				t.Fatalf("a gap in %v", bands)
			}
		}
	})
}
