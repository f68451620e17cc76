package airflow

import "math"

// When an outlet shuts, the meter goes on: the product of the shut run goes to
// its siblings, whatever the air does.

// ProductFactor is what each of the other n-1 equal runs gets of product, over
// what it had, when one keeps the fraction kept (0 shut, 1 untouched):
//
//	(n - kept) / (n - 1)
//
// It is +Inf for n = 1: the head has nowhere left to go.
func ProductFactor(n int, kept float64) float64 {
	return (float64(n) - kept) / float64(n-1)
}

// ProductFactorOfShare is the same when the shut run had a share (0 to 1) of
// the head: 1 / (1 - share).
func ProductFactorOfShare(share float64) float64 { return 1 / (1 - share) }

// Fan is a fan at constant speed of rotation, P = ShutPa (1 - (Q/FreeM3S)^2).
type Fan struct {
	ShutPa  float64 // against a shut outlet, Pa
	FreeM3S float64 // with nothing to push against, m3/s
}

// FlowM3S is the air through a resistance R [Pa/(m3/s)^2] with P = R Q^2.
func (f Fan) FlowM3S(resistance float64) float64 {
	return math.Sqrt(f.ShutPa / (resistance + f.ShutPa/(f.FreeM3S*f.FreeM3S)))
}

// AirFactorOfFan is what each of the other n-1 equal runs gets of air, over what
// it had, when one of a head alone on its fan is shut. primary and hoses are
// resistances [Pa/(m3/s)^2] of the line to the head and of its n hoses together.
func AirFactorOfFan(f Fan, primary, hoses float64, n int) float64 {
	rise := float64(n) / float64(n-1)
	return rise * f.FlowM3S(primary+hoses*rise*rise) / f.FlowM3S(primary+hoses)
}

// AirFactorHeld is the same where the pressure before the primary line is held,
// as a tank of air with many heads holds it. primaryPart is the part of that
// pressure which the primary line takes: 0 gives 1, nearly 1 gives n/(n-1), a
// source of constant volume.
func AirFactorHeld(primaryPart float64, n int) float64 {
	rise := float64(n) / float64(n-1)
	return rise / math.Sqrt(primaryPart+(1-primaryPart)*rise*rise)
}

// FillS is how long a hose that is shut at its lower end takes to fill up with
// product, s: A L rho / m, rho that of the heap. It is an upper bound for the
// time in which the count falls, as the air stops long before.
func FillS(boreM, lengthM, bulkKgM3, kgS float64) float64 {
	return area(boreM) * lengthM * bulkKgM3 / kgS
}
