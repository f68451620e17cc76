package views

import (
	"slices"

	"runproof/drawing"
	"runproof/drill"
)

// lane holds sections whose rows do not overlap, so that they can be drawn in one line.
type lane []laneSection

type laneSection struct {
	id   drill.SectionID
	rows []int // ascending, each once
}

// sectionLanes puts each section into the first lane where its rows are free.
func sectionLanes(d *drill.Drill) []lane {
	var lanes []lane
	for _, s := range d.Sections {
		ls := laneSection{s.ID, d.SectionRows(s)}
		i := slices.IndexFunc(lanes, func(l lane) bool { return l.free(ls) })
		if i < 0 {
			lanes = append(lanes, nil)
			i = len(lanes) - 1
		}
		lanes[i] = append(lanes[i], ls)
	}
	return lanes
}

func (l lane) free(s laneSection) bool {
	return !slices.ContainsFunc(l, func(o laneSection) bool {
		return len(o.rows) > 0 && len(s.rows) > 0 && o.rows[0] <= s.rows[len(s.rows)-1] && s.rows[0] <= o.rows[len(o.rows)-1]
	})
}

// sections draws each section as a bar under its rows and returns the height below the lanes.
func (p *plan) sections(lanes []lane, y float64) float64 {
	half := p.d.Rows.SpacingM / 2 * 0.8
	for i, l := range lanes {
		for _, s := range l {
			st := p.small.Aligned(drawing.Centre)
			for k, part := range drill.RowList(s.rows).Stretches() {
				a := p.view.At(p.d.RowAt(part[0]).Right-half, 0).X
				b := p.view.At(p.d.RowAt(part[1]).Right+half, 0).X
				box := drawing.Rect{X: a, Y: y, W: b - a, H: laneMM - 0.8}
				p.Rect(box, drawing.Hair, drawing.Tint)
				if text := "section " + string(s.id); k == 0 && st.WidthMM(text) < box.W-1 {
					p.Label(box.Centre(), text, st)
				} else if st.WidthMM(string(s.id)) < box.W-0.5 {
					p.Label(box.Centre(), string(s.id), st)
				}
			}
		}
		if i < len(lanes) {
			y += laneMM
		}
	}
	return y
}
