package airflow

import (
	"math"
	"slices"

	"runproof/fit"
)

// Rules for the air speed of a line with product in it.
const (
	saltationWished = 1.5 // times the highest saltation velocity: Rhodes' design factor, from memory
	saltationLeast  = 1.2 // Mills, Pickup Velocity, 2010: about 20 % above the minimum at the line's inlet
	riserAboveMPS   = 5.0 // above the terminal velocity in a riser: common practice, no source
)

// Roughness of hoses: friction in times that of a smooth pipe. Corrugated hose
// has 2 to 4: common practice, no source.
const (
	smoothTimes = 1.0
	roughTimes  = 3.0
)

// bendRiserM: a right-angle bend costs as much as so many metres of upright pipe
// (Rhodes, from memory).
const bendRiserM = 7.5

// need fills in at which air speed product settles, and what is needed.
func need(l *fit.Line, s Stream, p fit.AirParticle) {
	var at []float64
	highest := func(fall float64) float64 {
		most := 0.0
		for _, c := range Correlations {
			most = math.Max(most, c.MPS(s, Particle{p.DiameterM, p.DensityKgM3, fall}))
		}
		return most
	}
	for _, c := range Correlations {
		v := c.MPS(s, Particle{p.DiameterM, p.DensityKgM3, p.FallMPS.Likely})
		at = append(at, v)
		l.By = append(l.By, fit.SaltationSpeed{Name: c.Name, MPS: fourDigits(v)})
	}
	slices.Sort(at)
	l.SaltationMPS = spanOf(at[0], at[len(at)/2], at[len(at)-1])
	rule := func(times, fall float64) float64 {
		v := times * highest(fall)
		if l.RiserM > 0 {
			v = math.Max(v, fall+riserAboveMPS)
		}
		return v
	}
	l.NeedMPS = spanOf(rule(saltationLeast, p.FallMPS.Low), rule(saltationWished, p.FallMPS.Likely), rule(saltationWished, p.FallMPS.High))
}

// drop fills in loading and pressure drop of a line at its air speed.
func drop(l *fit.Line, s Stream, p fit.AirParticle) {
	l.Loading = fourDigits(s.Loading(l.AirMPS))
	x := Particle{p.DiameterM, p.DensityKgM3, p.FallMPS.Likely}
	re := Reynolds(s.Gas, l.AirMPS, l.BoreM)
	air := AirFrictionPaM(s.Gas, DarcyColebrook(math.Max(re, 4000), 0), l.AirMPS, l.BoreM) * (l.LengthM + l.RiserM)
	level, start := levelSolids(s, x, l.AirMPS)
	upright := KonnoSaitoPaM(s) + WeightPa(s, x, Voidage(s, x, math.Max(l.AirMPS-x.FallMPS, 1)), 1)
	product := level*l.LengthM + upright*l.RiserM + KonnoSaitoPaM(s)*bendRiserM*float64(l.Bends)
	bends := AirFrictionPaM(s.Gas, DarcyColebrook(math.Max(re, 4000), 0), l.AirMPS, l.BoreM) * bendRiserM * float64(l.Bends)
	set := AirAccelerationPa(s.Gas, 1, l.AirMPS)
	likely := air + bends + product + start + set
	l.DropPa = spanOf(air+product+start/2+set, likely, roughTimes*(air+bends)+product+start+set)
	l.AirPart = fourDigits((air + bends + set) / likely)
}

// levelSolids is the friction of product in a metre of level pipe, and what sets
// it going once, Pa. Where Hinkle's slip law gives nothing, the product is
// taken to move at half the speed of the air.
func levelSolids(s Stream, p Particle, airMPS float64) (perM, once float64) {
	const slowest = 0.5
	slip := LevelSlip(p)
	if math.IsNaN(slip) || slip < slowest {
		slip = slowest
	}
	up := slip * airMPS
	e := Voidage(s, p, up)
	cd := DragFrom(p.DiameterM, p.KgM3, s.Gas.KgM3, p.FallMPS)
	fp := HinkleFriction(s, p, cd, airMPS/e, up)
	return LevelSolidsPaM(s, fp, up), SolidsAccelerationPa(s, up)
}

// Speed of product over that of the air in level pipe: common practice, no
// source.
const (
	slowProduct  = 0.5
	usualProduct = 0.67
	fastProduct  = 0.85
)

// Time from the meter's roller to the line, s: common practice, no source.
const (
	meterLowS    = 0.1
	meterLikelyS = 0.3
	meterHighS   = 0.5
)

// lag is the time through a line, level and riser, after the time before it.
func lag(before fit.Span, l fit.Line, fall fit.Span) fit.Span {
	through := func(part, fallMPS float64) float64 {
		t := LagS(Stretch{l.LengthM, part * l.AirMPS})
		if l.RiserM > 0 {
			up, _ := RiserTransit(l.AirMPS, fallMPS, l.RiserM)
			t += up
		}
		return t
	}
	return spanOf(before.Low+through(fastProduct, fall.Low), before.Likely+through(usualProduct, fall.Likely), before.High+through(slowProduct, fall.High))
}

// travelled is the lag with the way that the drill makes meanwhile.
func travelled(s fit.Span, mps float64) fit.TransportLag {
	return fit.TransportLag{Seconds: s, Metres: spanOf(s.Low*mps, s.Likely*mps, s.High*mps)}
}
