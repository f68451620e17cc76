package dossier

import (
	"math"
	"slices"
	"strconv"

	"runproof/drawing"
	"runproof/drill"
	"runproof/review"
)

// outlined is how an event's kind is drawn over the raster: hatch without mark, so that its legend shows the hatch.
func outlined(st drawing.State) drawing.State {
	st.Mark = drawing.NoMark
	return st
}

// events draws each event over the rows that it concerns: an outline and a
// hatch in its kind's colour, its number and its name.
func (r *raster) events(s *drawing.Sheet) {
	for _, ev := range r.day.Review.Events {
		a, b := seconds(ev)
		if math.IsNaN(a - b) {
			continue
		}
		for _, rows := range r.rowsOf(ev) {
			x0 := max(r.area.X, r.x((a-r.startS)/r.cellS))
			x1 := min(r.area.Right(), max(x0+0.8, r.x((b-r.startS)/r.cellS)))
			box := drawing.Rect{X: x0, Y: r.top[rows[0]], W: x1 - x0, H: r.top[rows[1]] + r.rowMM - r.top[rows[0]]}
			r.event(s, box, ev)
		}
	}
}

func (r *raster) event(s *drawing.Sheet, box drawing.Rect, ev review.Event) {
	st := kindState(ev.Kind)
	pen := drawing.Pen{Ink: st.Ink, WidthMM: 0.25}
	s.Hatch([][]drawing.Point{box.Corners()}, st.Hatch, 0.9, pen)
	s.Rect(box.Inset(-0.25), drawing.Hair.Of(drawing.Dark), drawing.NoInk)
	s.Rect(box, drawing.Pen{Ink: st.Ink, WidthMM: 0.4}, drawing.NoInk)
	number := drawing.TextStyle{SizePT: 7}.Bold()
	text := strconv.Itoa(ev.ID) + " " + where(ev)
	at := drawing.Point{X: box.Right() + 0.9, Y: box.Centre().Y}
	w := number.WidthMM(text)
	if at.X+w > r.area.Right() {
		at.X = box.X - 0.9 - w
	}
	s.Rect(drawing.Rect{X: at.X - 0.3, Y: at.Y - 1.2, W: w + 0.6, H: 2.4}, drawing.Pen{}, drawing.Ground)
	s.Label(at, text, number)
}

// rowsOf returns the first and last row of each unbroken stretch that an event concerns.
func (r *raster) rowsOf(ev review.Event) [][2]int {
	runs := runsByID(&r.day.Fit.Drill)
	var rows []int
	for i, id := range r.runs {
		run := runs[id]
		port, _ := r.day.Fit.PortOf(id)
		in := run.Product == ev.Product
		switch {
		case ev.Run != "":
			in = id == ev.Run
		case ev.Kind == review.NoData:
			in = port.Node == ev.Node
		case ev.Head != "":
			in = run.Head == ev.Head
		}
		if in {
			rows = append(rows, i)
		}
	}
	slices.Sort(rows)
	return drill.RowList(rows).Stretches()
}
