package dossier

import (
	"fmt"
	"strings"

	"runproof/drawing"
	"runproof/drill"
	"runproof/season"
)

// heads is the page of each head's troubles over the season: a line that bends
// upwards grows worse, one that bends downwards grows better.
func (b *seasonBook) heads() {
	busy, single, quiet := b.busyHeads()
	if len(busy)+len(single) == 0 {
		return
	}
	b.Turn(b.Paper.Landscape())
	b.Title("Heads over the season")
	b.Paragraph("Troubles so far against hours of work so far, each head's runs and its own together. A steady rate follows the thin straight line; a line that bends upwards grows worse.")
	const across, high, gap = 3, 54.0, 4.0
	states := []drawing.State{}
	for _, t := range season.Troubles() {
		states = append(states, troubleState(t))
	}
	s, r := b.Area(6)
	s.Legend(r, states, drawing.TextStyle{SizePT: 8})
	w := (b.Width() - gap*(across-1)) / across
	for i := 0; i < len(busy); i += across {
		s, r := b.Area(high + 3)
		for k, id := range busy[i:min(len(busy), i+across)] {
			b.headPanel(s, drawing.Rect{X: r.X + float64(k)*(w+gap), Y: r.Y, W: w, H: high}, id)
		}
	}
	for _, rest := range []struct {
		what  string
		heads []drill.HeadID
	}{{"One trouble of a kind at most, and not drawn: ", single}, {"Without any trouble: ", quiet}} {
		if len(rest.heads) > 0 {
			b.Paragraph(rest.what + listing(rest.heads, func(id drill.HeadID) string { return string(id) }) + ".")
		}
	}
}

// mostPanels is how many heads are drawn whatever they had.
const mostPanels = 12

// busyHeads parts the heads: those to be drawn, those with too little to draw
// where there are many, and those without any trouble.
func (b *seasonBook) busyHeads() (busy, single, quiet []drill.HeadID) {
	most, order := map[drill.HeadID]int{}, []drill.HeadID{}
	for _, l := range b.doc.Heads {
		if _, seen := most[l.Head]; !seen {
			order = append(order, l.Head)
		}
		most[l.Head] = max(most[l.Head], l.Count)
	}
	for _, id := range order {
		switch {
		case most[id] == 0:
			quiet = append(quiet, id)
		case most[id] == 1 && len(order) > mostPanels:
			single = append(single, id)
		default:
			busy = append(busy, id)
		}
	}
	return busy, single, quiet
}

// headPanel draws one head.
func (b *seasonBook) headPanel(s *drawing.Sheet, r drawing.Rect, id drill.HeadID) {
	var lines []season.Line
	most := 1
	for _, l := range b.doc.Heads {
		if l.Head == id && l.Count > 0 {
			lines = append(lines, l)
			most = max(most, l.Count)
		}
	}
	title := drawing.TextStyle{SizePT: 9.5}.Bold()
	s.Text(drawing.Point{X: r.X, Y: r.Y + title.CapMM() + 0.4}, "head "+string(id), title)
	said := trendLine(lines)
	small := drawing.TextStyle{SizePT: 8, Ink: drawing.Soft}
	s.Text(drawing.Point{X: r.X, Y: r.Y + title.LineMM() + small.CapMM() + 0.6}, said, small.Shrink(said, r.W, 5))
	top := title.LineMM() + small.LineMM() + 1
	x := drawing.Axis{Min: 0, Max: b.doc.WorkHours, Title: "work [h]"}
	y := drawing.Axis{Min: 0, Max: float64(most) * 1.08, Title: "troubles", Ticks: wholeTicks(most)}
	p := drawing.PlotIn(drawing.Rect{X: r.X, Y: r.Y + top, W: r.W, H: r.H - top}, x, y)
	p.Axes(s)
	for _, l := range lines {
		b.cumulative(s, p, l)
	}
}

// wholeTicks are marks at whole numbers.
func wholeTicks(most int) []drawing.TickMark {
	var out []drawing.TickMark
	for _, t := range drawing.NiceTicks(0, float64(most), 4) {
		if !strings.Contains(t.Label, ".") {
			out = append(out, t)
		}
	}
	return out
}

// trendLine says of each trouble whether it grew.
func trendLine(lines []season.Line) string {
	var parts []string
	for _, l := range lines {
		text := fmt.Sprintf("%s: %d", l.Trouble, l.Count)
		switch t := l.Trend; {
		case t.Sure() && t.Z > 0:
			text += ", grows worse, " + chanceWords(t.Adjusted)
		case t.Sure():
			text += ", grows better, " + chanceWords(t.Adjusted)
		case t != nil:
			text += ", no trend"
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}

// cumulative draws the troubles so far, each day's at the middle of its work,
// and the straight line of a steady rate.
func (b *seasonBook) cumulative(s *drawing.Sheet, p drawing.Plot, l season.Line) {
	st := troubleState(l.Trouble)
	dash := map[season.Trouble]drawing.Dash{season.Flow: drawing.Solid, season.Sensing: drawing.Dashed, season.Supply: drawing.Dotted}[l.Trouble]
	pts, done, sofar := []drawing.Point{p.At(0, 0)}, 0.0, 0
	for d, n := range l.ByDay {
		h := b.doc.Days[d].WorkHours
		if n > 0 {
			at := done + h/2
			pts = append(pts, p.At(at, float64(sofar)), p.At(at, float64(sofar+n)))
		}
		done, sofar = done+h, sofar+n
	}
	end := p.At(b.doc.WorkHours, float64(sofar))
	pts = append(pts, end)
	s.Line(p.At(0, 0), end, drawing.Hair.Of(drawing.Rule))
	s.Polyline(pts, drawing.Pen{Ink: st.Ink, WidthMM: 0.45, Dash: dash})
	s.Mark(end.Add(-1, 0), 2, st.Mark, st.Ink)
}
