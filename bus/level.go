package bus

import "math"

// Levels is what direct current does on the pair: what a speaking box puts out,
// what a listening one needs, and the resistances between. Ohm and volts.
type Levels struct {
	OutV    float64 // least difference that a speaker makes
	NeedV   float64 // least difference wanted at a listener, see NeedV
	EndOhm  float64 // least resistance of a terminator
	BoxOhm  float64 // least resistance of one box across the pair
	OhmPerM float64 // of one wire of the pair
	Boxes   int
}

// Figures of Levels that are not of the bus at hand: a CANopen adapter's
// manual; the cable is ISO 11898's (70 mohm/m, seen in a secondary print).
const (
	outV       = 1.5
	thresholdV = 1.0
	safety     = 0.2        // chosen so that CiA DR-303-1's table of lengths comes out
	endPart    = 118. / 120 // least resistance of a terminator, part of the nominal
	cableOhmPM = 0.070
)

// What one box has across the pair, ohm. What must hold with any box is judged
// with the least (a CANopen adapter's manual); the reading that a meter should
// show is reckoned with the usual one, and its bands reach from least to most
// (both common practice, no source).
const (
	boxLeastOhm = 20e3
	boxUsualOhm = 30e3
	boxMostOhm  = 200e3
)

// NeedV is the difference wanted at a listener: the threshold and a part k of
// what the speaker has above it (Philips, application note AN96116, 1996,
// appendix 3): V_req = V_th + k (V_out - V_th).
func NeedV(thresholdV, outV, k float64) float64 { return thresholdV + k*(outV-thresholdV) }

// FarOhm is what hangs at the far end: the terminator and every other box,
// R_T || R_diff/(n-1).
func (l Levels) FarOhm() float64 {
	return 1 / (1/l.EndOhm + float64(max(0, l.Boxes-1))/l.BoxOhm)
}

// FarV is the difference in V at the far end of a bus of a length in m:
// V_out R_far/(R_far + 2 r L).
func (l Levels) FarV(lengthM float64) float64 {
	r := l.FarOhm()
	return l.OutV * r / (r + 2*l.OhmPerM*lengthM)
}

// ReachM is the length in m at which FarV is NeedV (AN96116, eq. 16):
// L = R_far (V_out/V_req - 1)/(2 r); +Inf for a cable without resistance.
func (l Levels) ReachM() float64 {
	if l.OhmPerM == 0 {
		return math.Inf(1)
	}
	return l.FarOhm() * (l.OutV/l.NeedV - 1) / (2 * l.OhmPerM)
}
