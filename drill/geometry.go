package drill

import (
	"math"
	"slices"
)

// InletUpM is how high above the ground a hose enters its opener, metres:
// common practice, no source.
const InletUpM = 0.4

// RowAt returns the place of the opener of row (1 = leftmost): its rank's
// forward coordinate, and its distance right of the drill's middle, metres, at
// ground level.
func (d *Drill) RowAt(row int) Point {
	rank := 0.0
	if n := len(d.Rows.RanksM); n > 0 {
		rank = d.Rows.RanksM[(row-1)%n]
	}
	return Point{Forward: rank, Right: (float64(row) - float64(d.Rows.Count+1)/2) * d.Rows.SpacingM}
}

// WidthM is the sown width: rows times spacing.
func (d *Drill) WidthM() float64 { return float64(d.Rows.Count) * d.Rows.SpacingM }

// DistanceM is the straight distance between two places, metres.
func DistanceM(a, b Point) float64 {
	return math.Hypot(math.Hypot(a.Forward-b.Forward, a.Right-b.Right), a.Up-b.Up)
}

// ReachM is the straight distance that the hose of a run from head h to the
// opener of row must span, metres: no hose of that run is shorter.
func (d *Drill) ReachM(h Head, row int) float64 {
	inlet := d.RowAt(row)
	inlet.Up = InletUpM
	return DistanceM(h.At, inlet)
}

// FarthestRow is the row of head h with the longest reach, and that reach,
// metres. A head without rows reaches row 0 at 0 m.
func (d *Drill) FarthestRow(h Head) (row int, reachM float64) {
	for _, r := range h.Rows {
		if m := d.ReachM(h, r); m > reachM {
			row, reachM = r, m
		}
	}
	return row, reachM
}

// SectionRows returns the rows that the section's runs feed, ascending, each
// once.
func (d *Drill) SectionRows(s Section) []int {
	mine := make(map[RunID]bool)
	for _, id := range d.SectionRuns(s) {
		mine[id] = true
	}
	var rows []int
	for _, r := range d.Runs() {
		if mine[r.ID] {
			rows = append(rows, r.Row)
		}
	}
	slices.Sort(rows)
	return slices.Compact(rows)
}

// SectionWidthM is the width that the section's rows sow, metres: rows times
// spacing, wherever they lie.
func (d *Drill) SectionWidthM(s Section) float64 {
	return float64(len(d.SectionRows(s))) * d.Rows.SpacingM
}

// UnfedRows returns the rows to which no head brings anything.
func (d *Drill) UnfedRows() RowList {
	fed := make([]bool, d.Rows.Count+1)
	for _, h := range d.Heads {
		for _, row := range h.Rows {
			if row >= 1 && row < len(fed) {
				fed[row] = true
			}
		}
	}
	var rows RowList
	for row := 1; row < len(fed); row++ {
		if !fed[row] {
			rows = append(rows, row)
		}
	}
	return rows
}

// roundM rounds a place to millimetres, as a person would write it.
func roundM(m float64) float64 { return math.Round(m*1000) / 1000 }
