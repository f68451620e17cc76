package views

import (
	"runproof/drawing"
	"runproof/drill"
	"runproof/measure"
)

// units writes lengths the way the drill's reader wants them.
type units struct{ measure.System }

func unitsOf(d drill.Display) units { return units{d} }

func (u units) length(m float64) string { return u.Format(measure.Length, m) }
func (u units) short(m float64) string  { return u.Format(measure.ShortLength, m) }

// ScaleUnit is the unit of scale bars and maps in a system.
func ScaleUnit(s measure.System) drawing.LengthUnit {
	if s == measure.US {
		return drawing.Foot
	}
	return drawing.Metre
}
