package power

import (
	"fmt"
	"math"
)

// Gauge is a size of American wire: 18, 16, ...; 0 is 1/0, -1 is 2/0, and so
// on. The zero Gauge is 1/0.
type Gauge int

// The gauges that this package names.
const (
	ThinnestGauge  Gauge = 40
	ThickestGauge  Gauge = -3 // 4/0
	circularMilMM2       = 5.067074790974977e-4
)

// String is "AWG 18", or "AWG 2/0".
func (g Gauge) String() string {
	if g <= 0 {
		return fmt.Sprintf("AWG %d/0", 1-int(g))
	}
	return fmt.Sprintf("AWG %d", int(g))
}

// DiameterMM is the diameter of a solid wire (ASTM B258):
//
//	d = 0.127 mm x 92^((36-n)/39)
func (g Gauge) DiameterMM() float64 { return 0.127 * math.Pow(92, float64(36-int(g))/39) }

// AreaMM2 is the cross-section of a solid wire, mm2. Wire sold as SAE gauge is
// about a tenth thinner: see SAEMinMM2.
func (g Gauge) AreaMM2() float64 {
	d := g.DiameterMM()
	return math.Pi * d * d / 4
}

// GaugeAtOrBelow is the thickest gauge that is no thicker than the area [mm2]:
// 1 mm2 is taken for AWG 18, which it can do at least.
func GaugeAtOrBelow(areaMM2 float64) Gauge {
	for g := ThickestGauge; g < ThinnestGauge; g++ {
		if g.AreaMM2() <= areaMM2*(1+sameArea) {
			return g
		}
	}
	return ThinnestGauge
}

// GaugeNearest is the even gauge, as they are sold, that is nearest to the
// area [mm2] by ratio.
func GaugeNearest(areaMM2 float64) Gauge {
	best, off := ThinnestGauge, math.Inf(1)
	for g := ThickestGauge; g <= ThinnestGauge; g++ {
		if g > 0 && g%2 == 1 {
			continue
		}
		if d := math.Abs(math.Log(g.AreaMM2() / areaMM2)); d < off {
			best, off = g, d
		}
	}
	return best
}

// SAEMinMM2 is the least copper of wire sold by SAE size (J1127, J1128), mm2,
// from the circular mils of a marine wire table, and whether the size is in it.
func SAEMinMM2(size Gauge) (float64, bool) {
	mils, ok := saeCircularMils[size]
	return mils * circularMilMM2, ok
}

var saeCircularMils = map[Gauge]float64{
	18: 1537, 16: 2336, 14: 3702, 12: 5833, 10: 9343, 8: 14810, 6: 24538, 4: 37360, 2: 62450, 1: 77790,
}

// SAEFor is the thinnest SAE size with at least so many circular mils, and
// whether there is one.
func SAEFor(circularMils float64) (Gauge, bool) {
	for g := Gauge(18); g >= 1; g-- {
		if mils, ok := saeCircularMils[g]; ok && mils >= circularMils {
			return g, true
		}
	}
	return 0, false
}

// CircularMils is the conductor that a current [A] needs over a round trip
// [feet] for a drop [V], in circular mils (ABYC E-11 11.14.2.6, CM = K I L/E).
// Its K of 10.75 ohm circular mil per foot is copper at 29.3 °C.
func CircularMils(amps, roundTripFt, dropV float64) float64 {
	const k = 10.75
	return k * amps * roundTripFt / dropV
}
