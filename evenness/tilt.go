package evenness

import (
	"math"

	"runproof/drill"
)

// Tilt is the first harmonic around a head: outlets on one side get more and
// those opposite less, as when a head leans or the flow swirls in. Outlet 1 of n
// stands at angle 0 and outlet o at 360 (o-1)/n degrees.
type Tilt struct {
	Head      drill.HeadID `json:"head,omitempty"` // id of the head; absent = all heads of the product together
	Amplitude float64      `json:"amplitude"`      // what the outlet on the high side gets more, as a part of the mean
	SE        float64      `json:"se"`             // standard error of the amplitude, as a part of the mean
	Toward    float64      `json:"toward"`         // the outlet on the high side, between two where it is no whole number; 0 for heads of unlike numbers together
	TowardDeg float64      `json:"toward_deg"`     // the same as an angle from outlet 1 on, in the order of numbers, degrees
	Test      Test         `json:"test"`           // whether there is one
	Sure      bool         `json:"sure"`           // it is certain, all heads and patterns that were looked at allowed for
}

// spoke is one outlet's value and where it stands on the circle.
type spoke struct{ cos, sin, value float64 }

// tilts are those of each head with four outlets in line or more, and that of
// all such heads of the product together, which have their own means and one
// harmonic. Values are parts of the product's mean.
func tilts(x []float64, runs []drill.Run, used []bool, d *drill.Drill, mean float64) (out []Tilt) {
	var all []spoke
	sizes := map[int]bool{}
	for _, h := range d.Heads {
		s := centred(spokes(x, runs, used, h, mean))
		t, ok := harmonic(s, 1)
		if !ok {
			continue
		}
		t.Head, t.Toward = h.ID, outletAt(t.TowardDeg, len(h.Rows))
		out, all = append(out, t), append(all, s...)
		sizes[len(h.Rows)] = true
	}
	defer func() {
		for i := range out {
			out[i].Sure = out[i].Test.P*float64(len(out)) <= patternLevel
		}
	}()
	if len(out) < 2 {
		return out
	}
	if t, ok := harmonic(all, len(out)); ok {
		if len(sizes) == 1 {
			h, _ := d.Head(out[0].Head)
			t.Toward = outletAt(t.TowardDeg, len(h.Rows))
		}
		out = append(out, t)
	}
	return out
}

// harmonic fits b cos + c sin by least squares to spokes that are centred head
// by head (Bliss 1970, Statistics in Biology 2, ch. 17); outlets may be missing.
func harmonic(s []spoke, heads int) (Tilt, bool) {
	var cc, cs, ss, cy, sy, total float64
	for _, p := range s {
		cc += p.cos * p.cos
		cs += p.cos * p.sin
		ss += p.sin * p.sin
		cy += p.cos * p.value
		sy += p.sin * p.value
		total += p.value * p.value
	}
	df := len(s) - heads - 2
	det := cc*ss - cs*cs
	if df < 1 || det < 1e-9 {
		return Tilt{}, false
	}
	b, c := (ss*cy-cs*sy)/det, (cc*sy-cs*cy)/det
	explained := b*cy + c*sy
	rest := math.Max(0, total-explained) / float64(df)
	test, ok := fTest(explained/2, 2, rest, df)
	t := Tilt{Amplitude: digits(math.Hypot(b, c)), TowardDeg: digits(math.Mod(math.Atan2(c, b)*180/math.Pi+360, 360)), Test: test}
	if a := sq(b) + sq(c); a > 0 { // along the direction found: Var = (b² Vb + 2bc Vbc + c² Vc) / a
		t.SE = digits(math.Sqrt(rest * (b*b*ss - 2*b*c*cs + c*c*cc) / det / a))
	}
	return t, ok
}

// outletAt is the place at an angle as an outlet's number.
func outletAt(deg float64, outlets int) float64 {
	at := 1 + deg/360*float64(outlets)
	if at >= float64(outlets)+0.5 {
		at -= float64(outlets) // nearer to outlet 1
	}
	return digits(at)
}

func spokes(x []float64, runs []drill.Run, used []bool, h drill.Head, mean float64) []spoke {
	var s []spoke
	for i, r := range runs {
		if r.Head == h.ID && used[i] {
			sin, cos := math.Sincos(2 * math.Pi * float64(r.Outlet-1) / float64(len(h.Rows)))
			s = append(s, spoke{cos, sin, x[i] / mean})
		}
	}
	return s
}

// centred takes off what a column for the head's own mean would: the mean of
// the values and those of the two waves.
func centred(s []spoke) []spoke {
	var m spoke
	for _, p := range s {
		m.cos += p.cos / float64(len(s))
		m.sin += p.sin / float64(len(s))
		m.value += p.value / float64(len(s))
	}
	out := make([]spoke, len(s))
	for i, p := range s {
		out[i] = spoke{p.cos - m.cos, p.sin - m.sin, p.value - m.value}
	}
	return out
}
