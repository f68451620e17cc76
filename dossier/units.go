package dossier

import (
	"fmt"
	"math"

	"runproof/drawing"
	"runproof/drill"
	"runproof/measure"
	"runproof/views"
)

// units writes lengths the way the drill's reader wants them.
type units struct{ measure.System }

func unitsOf(d drill.Display) units { return units{d} }

func (u units) length(m float64) string  { return u.Format(measure.Length, m) }
func (u units) short(m float64) string   { return u.Format(measure.ShortLength, m) }
func (u units) speed(mps float64) string { return u.Format(measure.Speed, mps) }
func (u units) area(m2 float64) string   { return u.Format(measure.Area, m2) }

func (u units) rate(kgHa float64) string   { return u.Format(measure.Rate, kgHa) }
func (u units) smallMass(g float64) string { return u.Format(measure.SmallMass, g) }

// place writes a length with two decimals whatever its size, for columns of places.
func (u units) place(m float64) string {
	return u.Unit(measure.Length).Fixed(m, 2)
}

// ground writes a small area in square metres or feet, a large one as fields are measured.
func (u units) ground(m2 float64) string {
	if m2 < 2000 {
		return u.squareUnit().Format(math.Round(m2*10) / 10)
	}
	return u.area(m2)
}

// squareUnit is the unit of small areas.
func (u units) squareUnit() measure.Unit {
	if u.System == measure.US {
		return measure.SquareFoot
	}
	return measure.SquareMetre
}

// travel writes a way driven: whole units once there are ten or more.
func (u units) travel(m float64) string {
	unit := u.Unit(measure.Length)
	if v := unit.Value(m); v >= 10 {
		return fmt.Sprintf("%.0f %s", v, unit.Symbol())
	}
	return unit.Format(m)
}

// scaleUnit is the unit of plans and maps.
func (u units) scaleUnit() drawing.LengthUnit { return views.ScaleUnit(u.System) }
