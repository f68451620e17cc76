package dossier

import (
	"math"
	"strconv"

	"runproof/drawing"
	"runproof/review"
)

// mapPage shows where product was missing in the field.
func (r *report) mapPage() {
	r.Turn(r.day.Paper.Portrait())
	r.Title("Map of the skips")
	if len(r.day.Review.Track) == 0 {
		r.Paragraph("The recording carries no positions, so there is no map.")
		return
	}
	r.Paragraph("The pale band is where the drill was in the ground; coloured strips are ground short of product, drawn no narrower than can be seen, with the number of the event.")
	r.ground()
	s, area := r.Rest(80)
	drawMap(s, area, r.day, r.units)
}

// Map draws the skips in the field as a picture of its own.
func Map(day Day, size drawing.Size) *drawing.Sheet {
	s := drawing.NewSheet(size)
	s.Title = "Map of the skips"
	drawMap(s, s.Bounds().Inset(5), day, unitsOf(day.Fit.Drill.Display))
	return s
}

const mapFoot = 16.0

// fieldMap is one drawing of a field.
type fieldMap struct {
	*drawing.Sheet
	day   Day
	view  drawing.View
	frame drawing.Rect
	taken []drawing.Rect // by labels
}

func drawMap(s *drawing.Sheet, r drawing.Rect, day Day, u units) {
	m := &fieldMap{Sheet: s, day: day, frame: drawing.Rect{X: r.X, Y: r.Y, W: r.W, H: r.H - mapFoot}}
	m.view = drawing.FitView(m.extent(), m.frame.Inset(3))
	m.swaths()
	m.skips()
	s.Rect(m.frame, drawing.Hair, drawing.NoInk)
	foot := r.Bottom() - 2
	s.NorthArrow(drawing.Point{X: r.Right() - 5, Y: foot}, 9)
	s.ScaleBar(drawing.Point{X: r.X, Y: foot}, m.view, 50, u.scaleUnit())
	s.Text(drawing.Point{X: r.X + 64, Y: foot}, "scale "+m.view.Scale(), drawing.TextStyle{SizePT: 7.5}.Bold())
	m.legend(drawing.Rect{X: r.X + 88, Y: r.Bottom() - mapFoot + 2, W: r.W - 104})
}

// extent holds all ground worked, half a drill beyond the antenna's track.
func (m *fieldMap) extent() drawing.Extent {
	e := drawing.Extent{Left: math.Inf(1), Back: math.Inf(1), Right: math.Inf(-1), Front: math.Inf(-1)}
	for _, part := range m.day.Review.Track {
		for _, p := range part {
			e = e.Include(p[0], p[1])
		}
	}
	for _, strip := range m.day.Review.Skips {
		for _, polygon := range strip.Local {
			for _, p := range polygon[0] {
				e = e.Include(p[0], p[1])
			}
		}
	}
	if math.IsInf(e.Left, 0) {
		return drawing.Extent{Right: 1, Front: 1}
	}
	return e.Grow(m.day.Fit.Drill.WidthM()/2 + 2)
}

func (m *fieldMap) line(pts [][2]float64) []drawing.Point {
	out := make([]drawing.Point, len(pts))
	for i, p := range pts {
		out[i] = m.view.At(p[0], p[1])
	}
	return out
}

// swaths draws the worked band and the antenna's track.
func (m *fieldMap) swaths() {
	band := drawing.Pen{Ink: drawing.Tint, WidthMM: max(0.3, m.day.Fit.Drill.WidthM()*m.view.MMPerM*0.96)}
	var lines [][]drawing.Point
	for _, part := range m.day.Review.Track {
		lines = append(lines, m.line(part))
	}
	m.Polylines(lines, band)
	m.Polylines(lines, drawing.Grid)
}

// skips draws each strip as it is, and a line along it that can be seen at any scale.
func (m *fieldMap) skips() {
	kinds := map[int]review.Kind{}
	for _, ev := range m.day.Review.Events {
		kinds[ev.ID] = ev.Kind
	}
	for _, strip := range m.day.Review.Skips {
		st := kindState(kinds[strip.Event])
		var rings [][]drawing.Point
		for _, polygon := range strip.Local {
			for _, ring := range polygon {
				rings = append(rings, m.line(ring))
			}
		}
		m.Polygons(rings, drawing.Pen{Ink: st.Ink, WidthMM: 0.5}, st.Ink)
		m.Hatch(rings, st.Hatch, 0.9, drawing.Pen{Ink: st.Ink.Over(), WidthMM: 0.15})
	}
	for _, strip := range m.day.Review.Skips {
		if len(strip.Local) > 0 {
			longest := strip.Local[0][0]
			for _, polygon := range strip.Local {
				if len(polygon[0]) > len(longest) {
					longest = polygon[0]
				}
			}
			m.number(middle(m.line(longest)), strip.Event, kindState(kinds[strip.Event]))
		}
	}
}

func middle(pts []drawing.Point) drawing.Point {
	var c drawing.Point
	for _, p := range pts {
		c = c.Add(p.X/float64(len(pts)), p.Y/float64(len(pts)))
	}
	return c
}

// number writes an event's number near its strip, where no other number stands.
func (m *fieldMap) number(at drawing.Point, id int, st drawing.State) {
	style := drawing.TextStyle{SizePT: 8, Align: drawing.Centre}.Bold()
	text := strconv.Itoa(id)
	w := style.WidthMM(text) + 4.2
	box := m.freeBox(at, w, 4)
	c := box.Centre()
	m.Line(at, c, drawing.Hair)
	m.Sheet.Rect(box, drawing.Hair.Of(drawing.Dark), drawing.Ground)
	m.Mark(drawing.Point{X: box.X + 1.9, Y: c.Y}, 2.2, st.Mark, st.Ink)
	m.Label(drawing.Point{X: c.X + 1.5, Y: c.Y}, text, style)
	m.taken = append(m.taken, box)
}

// freeBox looks around a point, ever further out, for a place that no label has taken.
func (m *fieldMap) freeBox(at drawing.Point, w, h float64) drawing.Rect {
	box := drawing.Rect{}
	for ring := 1; ring < 12; ring++ {
		for k := range 8 {
			sin, cos := math.Sincos(float64(k)*math.Pi/4 - 0.5)
			d := 3.5 + 3*float64(ring)
			box = drawing.Rect{X: at.X + d*cos - w/2, Y: at.Y + d*sin - h/2, W: w, H: h}
			if m.free(box) {
				return box
			}
		}
	}
	return box
}

func (m *fieldMap) free(b drawing.Rect) bool {
	if b.X < m.frame.X || b.Y < m.frame.Y || b.Right() > m.frame.Right() || b.Bottom() > m.frame.Bottom() {
		return false
	}
	for _, o := range m.taken {
		if b.X < o.Right() && o.X < b.Right() && b.Y < o.Bottom() && o.Y < b.Bottom() {
			return false
		}
	}
	return true
}

func (m *fieldMap) legend(r drawing.Rect) {
	states := []drawing.State{{Word: "worked", Ink: drawing.Tint, Hatch: drawing.NoHatch}}
	for _, k := range review.Kinds() {
		for _, strip := range m.day.Review.Skips {
			if kindOf(m.day, strip.Event) == k {
				states = append(states, outlined(kindState(k)))
				break
			}
		}
	}
	m.Legend(r, states, drawing.TextStyle{SizePT: 8})
}

func kindOf(day Day, id int) review.Kind {
	for _, ev := range day.Review.Events {
		if ev.ID == id {
			return ev.Kind
		}
	}
	return review.Unknown
}
