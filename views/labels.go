package views

import (
	"math"

	"runproof/drawing"
)

// labels finds room for words on a drawing: none over another word or sign, as
// few as can be over lines.
type labels struct {
	*drawing.Sheet
	inside drawing.Rect
	taken  []drawing.Rect
	lines  [][2]drawing.Point
}

// place is one way to set a label.
type place struct {
	text   drawing.Text
	cost   float64           // of being there rather than elsewhere, mm of line crossed
	leader *[2]drawing.Point // from the label to what it names; nil = it stands beside it
}

// keep reserves a box for a sign.
func (l *labels) keep(r drawing.Rect) { l.taken = append(l.taken, r) }

// keepAround reserves a square of a half side [mm].
func (l *labels) keepAround(p drawing.Point, half float64) {
	l.keep(drawing.Rect{X: p.X - half, Y: p.Y - half, W: 2 * half, H: 2 * half})
}

// avoid tells where a line runs.
func (l *labels) avoid(pts []drawing.Point) {
	for i := 1; i < len(pts); i++ {
		l.lines = append(l.lines, [2]drawing.Point{pts[i-1], pts[i]})
	}
}

// worstMM is how much line a label may hide at most.
const worstMM = 14

// write sets the label at the best of its places, on paper of its own where it
// crosses a line. It returns false, and writes nothing, where there is no room.
func (l *labels) write(places []place) bool {
	best, bestCost, bestBox := -1, math.Inf(1), drawing.Rect{}
	for i, p := range places {
		if p.cost >= bestCost {
			continue
		}
		box := boxOf(p.text).Inset(-0.35)
		if !l.free(box) {
			continue
		}
		if cost := p.cost + l.hidden(box) + l.leaderCost(p.leader); cost < bestCost {
			best, bestCost, bestBox = i, cost, box
		}
	}
	if best < 0 || bestCost > worstMM+places[best].cost {
		return false
	}
	p := places[best]
	if l.hidden(bestBox) > 0 {
		l.Sheet.Rect(bestBox.Inset(0.15), drawing.Pen{}, drawing.Ground)
	}
	if p.leader != nil {
		l.Line(p.leader[0], p.leader[1], drawing.Hair)
		l.avoid(p.leader[:])
	}
	l.Text(p.text.At, p.text.Text, p.text.Style)
	l.keep(bestBox)
	return true
}

func (l *labels) free(box drawing.Rect) bool {
	if box.X < l.inside.X || box.Y < l.inside.Y || box.Right() > l.inside.Right() || box.Bottom() > l.inside.Bottom() {
		return false
	}
	for _, t := range l.taken {
		if meet(t, box) {
			return false
		}
	}
	return true
}

func meet(a, b drawing.Rect) bool {
	return a.X < b.Right() && b.X < a.Right() && a.Y < b.Bottom() && b.Y < a.Bottom()
}

// hidden is the length of line within a box [mm].
func (l *labels) hidden(box drawing.Rect) float64 {
	sum := 0.0
	for _, s := range l.lines {
		if math.Max(s[0].X, s[1].X) < box.X || math.Min(s[0].X, s[1].X) > box.Right() ||
			math.Max(s[0].Y, s[1].Y) < box.Y || math.Min(s[0].Y, s[1].Y) > box.Bottom() {
			continue
		}
		for _, part := range drawing.ClipPolyline(s[:], box) {
			sum += 0.5 + math.Hypot(part[1].X-part[0].X, part[1].Y-part[0].Y)
		}
	}
	return sum
}

// leaderCost is high for a leader through a word or a sign, 2 mm for each line that it crosses.
func (l *labels) leaderCost(leader *[2]drawing.Point) float64 {
	if leader == nil {
		return 0
	}
	cost := 0.0
	for _, t := range l.taken {
		for _, part := range drawing.ClipPolyline(leader[:], t) {
			if math.Hypot(part[1].X-part[0].X, part[1].Y-part[0].Y) > 1.2 {
				cost += 2 * worstMM // never
			}
		}
	}
	for _, s := range l.lines {
		if cross(leader[0], leader[1], s[0], s[1]) {
			cost += 2
		}
	}
	return cost
}

// cross reports whether two stretches cross.
func cross(a, b, c, d drawing.Point) bool {
	side := func(p, q, r drawing.Point) bool { return (q.X-p.X)*(r.Y-p.Y)-(q.Y-p.Y)*(r.X-p.X) > 0 }
	return side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}

// boxOf is the upright box around a text.
func boxOf(t drawing.Text) drawing.Rect {
	o := t.Outline()
	lo, hi := o[0], o[0]
	for _, p := range o[1:] {
		lo.X, lo.Y, hi.X, hi.Y = math.Min(lo.X, p.X), math.Min(lo.Y, p.Y), math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)
	}
	return drawing.Rect{X: lo.X, Y: lo.Y, W: hi.X - lo.X, H: hi.Y - lo.Y}
}

// beside returns the places around a sign of a half size [mm]: right, left,
// above, below, at the corners; then upright above and below; then away from it
// with a leader.
func beside(at drawing.Point, half float64, text string, st drawing.TextStyle) []place {
	cap := st.CapMM()
	level := func(dx, dy float64, a drawing.Align, cost float64) place {
		return place{text: drawing.Text{At: at.Add(dx, dy+cap/2), Text: text, Style: st.Aligned(a)}, cost: cost}
	}
	upright := func(dy float64, a drawing.Align, cost float64) place {
		return place{text: drawing.Text{At: at.Add(cap/2, dy), Text: text, Style: st.Aligned(a).Turned(-90)}, cost: cost}
	}
	d, v := half+1, half+1+cap/2
	places := []place{
		level(d, 0, drawing.Left, 0), level(0, -v, drawing.Centre, 0.1), level(0, v, drawing.Centre, 0.2), level(-d, 0, drawing.Right, 0.3),
		level(d, -v, drawing.Left, 0.5), level(-d, -v, drawing.Right, 0.6), level(d, v, drawing.Left, 0.7), level(-d, v, drawing.Right, 0.8),
		upright(-d, drawing.Left, 2.5), upright(d, drawing.Right, 2.6),
	}
	return append(places, away(at, half, text, st)...)
}

// away returns places around a point at growing distances, with a leader.
func away(at drawing.Point, half float64, text string, st drawing.TextStyle) []place {
	var places []place
	for _, far := range []float64{5, 8, 12, 17, 23, 30} {
		for k := range 16 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 8)
			foot := at.Add(cos*half, sin*half)
			tip := at.Add(cos*(half+far), sin*(half+far))
			a, dx := drawing.Centre, 0.0
			if cos > 0.3 {
				a, dx = drawing.Left, 0.6
			} else if cos < -0.3 {
				a, dx = drawing.Right, -0.6
			}
			dy := st.CapMM() / 2
			if a == drawing.Centre {
				dy += sin * (st.CapMM()/2 + 0.5)
			}
			places = append(places, place{text: drawing.Text{At: tip.Add(dx, dy), Text: text, Style: st.Aligned(a)}, cost: 2 + far*0.35, leader: &[2]drawing.Point{foot, tip}})
		}
	}
	return places
}

// along returns places beside a line: at several points of it, on either side,
// then away from it with a leader.
func along(line []drawing.Point, text string, st drawing.TextStyle) []place {
	var places []place
	w, cap := st.WidthMM(text), st.CapMM()
	for _, share := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		at, ux, uy := pointAt(line, share)
		cost := math.Abs(share-0.5) * 2
		switch {
		case math.Abs(ux) > 0.9:
			for i, dy := range []float64{-1, cap + 1} {
				places = append(places, place{text: drawing.Text{At: at.Add(0, dy), Text: text, Style: st.Aligned(drawing.Centre)}, cost: cost + float64(i)*0.2})
			}
		case math.Abs(uy) > 0.9:
			places = append(places,
				place{text: drawing.Text{At: at.Add(1.1, cap/2), Text: text, Style: st.Aligned(drawing.Left)}, cost: cost},
				place{text: drawing.Text{At: at.Add(-1.1, cap/2), Text: text, Style: st.Aligned(drawing.Right)}, cost: cost + 0.2},
				place{text: drawing.Text{At: at.Add(-1, w/2), Text: text, Style: st.Aligned(drawing.Left).Turned(-90)}, cost: cost + 3},
				place{text: drawing.Text{At: at.Add(1+cap, w/2), Text: text, Style: st.Aligned(drawing.Left).Turned(-90)}, cost: cost + 3.1})
		default:
			d := 1 + (w/2*math.Abs(uy) + cap/2*math.Abs(ux))
			for _, side := range []float64{1, -1} {
				places = append(places, place{text: drawing.Text{At: at.Add(uy*side*d, -ux*side*d+cap/2), Text: text, Style: st.Aligned(drawing.Centre)}, cost: cost + 0.3})
			}
		}
	}
	for _, share := range []float64{0.5, 0.25, 0.75} {
		at, _, _ := pointAt(line, share)
		places = append(places, away(at, 0, text, st)...)
	}
	return places
}

// pointAt returns the point at a share of a line's length, and the direction there.
func pointAt(line []drawing.Point, share float64) (at drawing.Point, ux, uy float64) {
	total := lengthMM(line)
	left := share * total
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		l := math.Hypot(b.X-a.X, b.Y-a.Y)
		if l > 0 && (left <= l || i == len(line)-1) {
			t := math.Min(1, left/l)
			return drawing.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)}, (b.X - a.X) / l, (b.Y - a.Y) / l
		}
		left -= l
	}
	if len(line) == 0 {
		return drawing.Point{}, 1, 0
	}
	return line[len(line)-1], 1, 0
}

func lengthMM(line []drawing.Point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += math.Hypot(line[i].X-line[i-1].X, line[i].Y-line[i-1].Y)
	}
	return sum
}
