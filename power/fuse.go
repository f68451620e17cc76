package power

import "math"

// FuseNeedA is the least rating [A] of a fuse that carries a current [A] for
// long: current over load factor (NEC 210.20(A): 0.80).
func (t FuseTables) FuseNeedA(continuousA float64) float64 { return continuousA / t.LoadFactor }

// Carries tells whether a fuse of that rating [A] may carry the current [A]
// for long. 2.25 A at a factor of 0.75 needs 3 A and no hair more, whatever
// the last binary digit says.
func (t FuseTables) Carries(ratingA, continuousA float64) bool {
	return ratingA >= t.FuseNeedA(continuousA)*(1-sameArea)
}

// OpensS is by when a fuse has opened at so many times its rating, s; 0 where
// nothing is promised. Between two gates the slower one holds.
func (t FuseTables) OpensS(multiple float64) float64 {
	s := 0.0
	for _, g := range t.Gates {
		if multiple >= g.Multiple {
			s = g.MaxS
		}
	}
	return s
}

// MultipleFor is the least multiple of its rating at which a fuse has opened
// by then [s]; NaN where no gate promises it. s = +Inf asks for any promise.
func (t FuseTables) MultipleFor(s float64) float64 {
	for _, g := range t.Gates {
		if g.MaxS > 0 && g.MaxS <= s {
			return g.Multiple
		}
	}
	return math.NaN()
}

// Ohm is the resistance of a fuse of that rating [A] near its rated current,
// ohm: between the ratings of the table as a power of the rating, beyond its
// ends by the rating alone.
func (t FuseTables) Ohm(ratingA float64) float64 {
	rows := t.ColdOhm
	if len(rows) == 0 || !(ratingA > 0) {
		return math.NaN()
	}
	last := rows[len(rows)-1]
	switch {
	case ratingA <= rows[0].Amps:
		return rows[0].Ohm * rows[0].Amps / ratingA * t.WarmFactor
	case ratingA >= last.Amps:
		return last.Ohm * last.Amps / ratingA * t.WarmFactor
	}
	i := 1
	for rows[i].Amps < ratingA {
		i++
	}
	a, b := rows[i-1], rows[i]
	p := math.Log(ratingA/a.Amps) / math.Log(b.Amps/a.Amps)
	return a.Ohm * math.Pow(b.Ohm/a.Ohm, p) * t.WarmFactor
}

// LetThrough bounds the heat that a short leaves in a wire before the fuse
// opens, A2s, when the current may be anything from leastA to mostA: the
// square of the current times the gate's time, at the top of each gate. Only
// gates up to 5 s count: beyond, a wire sheds heat and its ampacity decides
// (IEC 60364-4-43).
func (t FuseTables) LetThrough(leastA, mostA, ratingA float64) float64 {
	const adiabaticS = 5
	worst := 0.0
	for i, g := range t.Gates {
		top := mostA
		if i+1 < len(t.Gates) {
			top = math.Min(mostA, t.Gates[i+1].Multiple*ratingA)
		}
		if g.MaxS > 0 && g.MaxS <= adiabaticS && top >= leastA && mostA >= g.Multiple*ratingA {
			worst = math.Max(worst, top*top*g.MaxS)
		}
	}
	return worst
}

// LeastAreaMM2 is the cross-section [mm2] that bears that heat [A2s]
// (IEC 60364-4-43, I2t <= (kS)2).
func (t FuseTables) LeastAreaMM2(heatA2S float64) float64 { return math.Sqrt(heatA2S) / t.AdiabaticK }
