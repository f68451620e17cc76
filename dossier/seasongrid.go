package dossier

import (
	"fmt"
	"slices"

	"runproof/drawing"
	"runproof/drill"
	"runproof/review"
	"runproof/season"
)

// The looks of a day on which nothing went wrong, of one that was not watched,
// and of a repair.
var (
	gridSound   = drawing.State{Word: "no trouble", Ink: drawing.Tint}
	gridBlind   = drawing.State{Word: "watched less than half of the work", Ink: drawing.Ground, Hatch: drawing.Speckled}
	gridRepaird = drawing.State{Word: "repaired", Ink: drawing.Accent, Mark: drawing.Tick}
)

// gridCell is a row on a day.
type gridCell struct {
	events [review.NoData + 1]int // by kind
	blind  bool
	mended bool
}

// worst is the kind to show: the first in the order of Kinds that occurred,
// which puts lost seed before lost readings; Unknown for none.
func (c gridCell) worst() (k review.Kind, n int) {
	for _, k := range review.Kinds() {
		n += c.events[k]
	}
	for _, k := range []review.Kind{review.Blocked, review.ProductOut, review.HeadStarved, review.Restricted, review.NoData, review.SensorLost, review.Noisy} {
		if c.events[k] > 0 {
			return k, n
		}
	}
	return review.Unknown, 0
}

// gridRow is one row of the picture: a run, or what concerns a whole head or
// product.
type gridRow struct {
	label string
	head  drill.HeadID // of a run; its group
	cells []gridCell
}

// seasonRows are the rows of the picture: for each product what concerned all
// of it, for each head what concerned it, and each run. Rows for products and
// heads are left out where nothing ever concerned them.
func seasonRows(b Season) []gridRow {
	var rows []gridRow
	days := len(b.Season.Days)
	add := func(label string, head drill.HeadID, mine func(season.Event) bool, place season.Place, always bool) {
		row := gridRow{label, head, make([]gridCell, days)}
		any := always
		for d, day := range b.Season.Days {
			for _, ev := range day.Events {
				if mine(ev) {
					row.cells[d].events[ev.Kind]++
					any = true
				}
			}
			row.cells[d].blind = place.Of == season.OfRun && blindOn(day, place.Run)
		}
		for _, r := range b.Season.Repairs {
			if repairIs(r, place) && markRepair(row.cells, b.Season.Days, r.Date) {
				any = true
			}
		}
		if any {
			rows = append(rows, row)
		}
	}
	seen := map[drill.HeadID]bool{}
	for _, l := range b.Season.Runs {
		if l.Trouble != season.Flow {
			continue
		}
		if !seen[l.Head] {
			seen[l.Head] = true
			head := l.Head
			add("head", head, func(ev season.Event) bool { return ev.Run == "" && ev.Head == head && ev.Kind != review.NoData }, season.Place{Of: season.OfHead, Head: head}, false)
		}
		run, node := l.Run, l.Node
		add(string(run), l.Head, func(ev season.Event) bool {
			return ev.Run == run || ev.Run == "" && ev.Kind == review.NoData && ev.Node == node
		}, l.Place, true)
	}
	for _, p := range b.Season.Products {
		if p.Trouble == season.Supply {
			id := p.Product
			add("all of it", drill.HeadID(id), func(ev season.Event) bool { return ev.Kind == review.ProductOut && ev.Product == id }, p.Place, false)
		}
	}
	return rows
}

func blindOn(day season.DayFigures, run drill.RunID) bool {
	i := slices.IndexFunc(day.Watched, func(w season.Watched) bool { return w.Run == run })
	return i >= 0 && day.Watched[i].Hours < 0.5*day.WorkHours
}

func repairIs(r season.Aftermath, p season.Place) bool {
	switch p.Of {
	case season.OfRun:
		return r.Run == p.Run || r.Node != "" && r.Node == p.Node
	case season.OfHead:
		return r.Head != "" && r.Head == p.Head
	}
	return false
}

// markRepair marks the first recording on or after the day of a repair.
func markRepair(cells []gridCell, days []season.DayFigures, date string) bool {
	for d := range days {
		if dateOf(days[d].Start) >= dateOf(date) {
			cells[d].mended = true
			return true
		}
	}
	return false
}

// Room for the pictures of runs by day.
const (
	seasonRowsPerPage = 62
	seasonDaysPerPage = 70
	tallestDay        = 6.0
	widestDay         = 16.0
)

// grid is the pages of runs by day.
func (b *seasonBook) grid() {
	rows, days := seasonRows(b.Season), len(b.doc.Days)
	name := "Runs by day"
	if len(rows) > 2*seasonRowsPerPage {
		rows = busyRows(rows)
		name += ", heads without a trouble left out"
	}
	parts, across := splitRows(rows), pieces(days, seasonDaysPerPage)
	for i, part := range parts {
		for k := range across {
			b.Turn(b.Paper.Landscape())
			title := name
			if n := len(parts) * across; n > 1 {
				title = fmt.Sprintf("%s, %d of %d", name, i*across+k+1, n)
			}
			b.Title(title)
			s, area := b.Rest(60)
			newSeasonGrid(b.Season, part, k*days/across, (k+1)*days/across, area).draw(s)
		}
	}
}

// splitRows parts the rows into pages, of like size and between heads as far as
// it can.
func splitRows(rows []gridRow) [][]gridRow {
	n := pieces(len(rows), seasonRowsPerPage)
	like := len(rows)/n + 1
	var out [][]gridRow
	from := 0
	for i := 1; i <= len(rows); i++ {
		switch {
		case i == len(rows) || i-from == seasonRowsPerPage:
		case rows[i].head != rows[i-1].head && i+groupAt(rows, i)-from > like && (i-from)*2 > like:
		default:
			continue
		}
		out, from = append(out, rows[from:i]), i
	}
	return out
}

// groupAt is how many rows the head has that begins at row i.
func groupAt(rows []gridRow, i int) int {
	n := 0
	for i+n < len(rows) && rows[i+n].head == rows[i].head {
		n++
	}
	return n
}

// busyRows leaves out the heads on which nothing went wrong and nothing was
// repaired.
func busyRows(rows []gridRow) (busy []gridRow) {
	for i := 0; i < len(rows); {
		to, any := i, false
		for ; to < len(rows) && rows[to].head == rows[i].head; to++ {
			any = any || slices.ContainsFunc(rows[to].cells, func(c gridCell) bool { k, _ := c.worst(); return c.mended || k != review.Unknown })
		}
		if any {
			busy = append(busy, rows[i:to]...)
		}
		i = to
	}
	return busy
}

func pieces(n, most int) int { return max(1, (n+most-1)/most) }

// SeasonGrid draws all runs by all days as a picture of its own.
func SeasonGrid(b Season) *drawing.Sheet {
	rows, days := seasonRows(b), len(b.Season.Days)
	s := drawing.NewSheet(drawing.Size{WMM: max(120, 34+widestDay*float64(min(days, 12))+5*float64(max(0, days-12))), HMM: 40 + 4.4*float64(len(rows)) + 20})
	s.Title = "Troubles of each run by day"
	newSeasonGrid(b, rows, 0, days, s.Bounds().Inset(5)).draw(s)
	return s
}

// seasonGrid is one picture of runs by day.
type seasonGrid struct {
	Season
	rows     []gridRow
	from, to int // days
	all      drawing.Rect
	area     drawing.Rect
	top      []float64
	rowMM    float64
	dayMM    float64
}

const (
	gridLegend = 12.0
	gridAxis   = 13.0
	gridLeft   = 22.0
)

func newSeasonGrid(b Season, rows []gridRow, from, to int, all drawing.Rect) *seasonGrid {
	g := &seasonGrid{Season: b, rows: rows, from: from, to: to, all: all}
	gaps := 0
	for i := range rows {
		if i > 0 && rows[i].head != rows[i-1].head {
			gaps++
		}
	}
	g.rowMM = max(0.5, min(tallestDay, (all.H-gridLegend-gridAxis-float64(gaps)*headGap)/float64(max(1, len(rows)))))
	g.dayMM = min(widestDay, (all.W-gridLeft-2)/float64(max(1, to-from)))
	y := all.Y + gridLegend
	for i := range rows {
		if i > 0 && rows[i].head != rows[i-1].head {
			y += headGap
		}
		g.top = append(g.top, y)
		y += g.rowMM
	}
	g.area = drawing.Rect{X: all.X + gridLeft, Y: all.Y + gridLegend, W: g.dayMM * float64(to-from), H: y - all.Y - gridLegend}
	return g
}

func (g *seasonGrid) x(day int) float64 { return g.area.X + g.dayMM*float64(day-g.from) }

func (g *seasonGrid) draw(s *drawing.Sheet) {
	g.legend(s)
	for i := range g.rows {
		for d := g.from; d < g.to; d++ {
			g.cell(s, drawing.Rect{X: g.x(d) + 0.15, Y: g.top[i] + 0.15, W: g.dayMM - 0.3, H: g.rowMM - 0.3}, g.rows[i].cells[d])
		}
	}
	g.labels(s)
	g.axis(s)
}

// cell shows a day of a row: the worst of its kinds by colour and hatch, and by
// its mark and how many there were where there is room.
func (g *seasonGrid) cell(s *drawing.Sheet, r drawing.Rect, c gridCell) {
	k, n := c.worst()
	ring := [][]drawing.Point{r.Corners()}
	switch {
	case k != review.Unknown:
		st := kindState(k)
		s.Shade(ring, drawing.State{Ink: st.Ink, Hatch: st.Hatch}, 1.1)
		g.count(s, r, n)
	case c.blind:
		s.Shade(ring, gridBlind, 0.9)
	default:
		s.Shade(ring, gridSound, 1)
	}
	if c.mended {
		size := min(r.H, 3.4)
		at := drawing.Point{X: r.X + size*0.55 + 0.2, Y: r.Centre().Y}
		s.Circle(at, size*0.55, drawing.Pen{}, drawing.Ground)
		s.Mark(at, size*0.8, gridRepaird.Mark, gridRepaird.Ink)
	}
}

// count writes how many events a day had, on a ground of its own.
func (g *seasonGrid) count(s *drawing.Sheet, r drawing.Rect, n int) {
	st := drawing.TextStyle{SizePT: min(7, r.H/drawing.MMPerPT*0.95), Align: drawing.Centre}.Bold()
	text := fmt.Sprint(n)
	w := st.WidthMM(text) + 0.8
	if n < 2 || st.SizePT < 4 || w > r.W-0.4 {
		return
	}
	c := r.Centre()
	s.Rect(drawing.Rect{X: c.X - w/2, Y: r.Y + 0.2, W: w, H: r.H - 0.4}, drawing.Pen{}, drawing.Ground)
	s.Label(c, text, st)
}

// labels names the rows and the heads.
func (g *seasonGrid) labels(s *drawing.Sheet) {
	st := drawing.TextStyle{SizePT: min(7, g.rowMM/drawing.MMPerPT*0.95), Align: drawing.Right}
	for i := range g.rows {
		if g.rowMM >= 1.7 {
			s.Label(drawing.Point{X: g.area.X - 1, Y: g.top[i] + g.rowMM/2}, g.rows[i].label, st.Shrink(g.rows[i].label, 12, 4))
		}
		if i == 0 || g.rows[i].head != g.rows[i-1].head {
			g.headLabel(s, i)
		}
	}
}

func (g *seasonGrid) headLabel(s *drawing.Sheet, first int) {
	last := first
	for last+1 < len(g.rows) && g.rows[last+1].head == g.rows[first].head {
		last++
	}
	top, bottom := g.top[first], g.top[last]+g.rowMM
	x := g.all.X + 8
	s.Polyline([]drawing.Point{{X: x + 1.2, Y: top + 0.2}, {X: x, Y: top + 0.2}, {X: x, Y: bottom - 0.2}, {X: x + 1.2, Y: bottom - 0.2}}, drawing.Hair)
	name := string(g.rows[first].head)
	if bottom-top > 1.8 {
		st := drawing.TextStyle{SizePT: min(9, (bottom-top)/drawing.MMPerPT), Align: drawing.Right}.Bold()
		s.Label(drawing.Point{X: x - 1, Y: (top + bottom) / 2}, name, st.Shrink(name, 6.5, 4))
	}
}

// axis writes the dates, as many as there is room for.
func (g *seasonGrid) axis(s *drawing.Sheet) {
	st := drawing.TextStyle{SizePT: 7.5, Align: drawing.Centre}
	wide := st.WidthMM("00-00") + 1.5
	step := 1
	for float64(step)*g.dayMM < wide {
		step++
	}
	y := g.area.Bottom()
	s.Line(drawing.Point{X: g.area.X, Y: y + 0.3}, drawing.Point{X: g.area.Right(), Y: y + 0.3}, drawing.Thin)
	for d := g.from; d < g.to; d += step {
		x := g.x(d) + g.dayMM/2
		s.Line(drawing.Point{X: x, Y: y + 0.3}, drawing.Point{X: x, Y: y + 1.3}, drawing.Thin)
		date := dateOf(g.Season.Season.Days[d].Start)
		if len(date) > 5 {
			date = date[len(date)-5:]
		}
		s.Text(drawing.Point{X: x, Y: y + 2 + st.CapMM()}, date, st)
	}
	title := "recordings in order of time, by month and day they began (UTC)"
	left := st.In(drawing.Soft).Aligned(drawing.Left)
	s.Text(drawing.Point{X: g.all.X, Y: y + 3 + st.CapMM() + st.LineMM()}, title, left.Shrink(title, g.all.W, 5))
}

// legend shows the kinds that occur, and what a day without trouble looks like.
func (g *seasonGrid) legend(s *drawing.Sheet) {
	states := []drawing.State{gridSound}
	blind, mended := false, false
	var any [review.NoData + 1]bool
	for _, row := range g.rows {
		for d := g.from; d < g.to; d++ {
			k, _ := row.cells[d].worst()
			any[k] = true
			blind, mended = blind || row.cells[d].blind, mended || row.cells[d].mended
		}
	}
	for _, k := range review.Kinds() {
		if any[k] {
			states = append(states, outlined(kindState(k)))
		}
	}
	if blind {
		states = append(states, gridBlind)
	}
	if mended {
		states = append(states, gridRepaird)
	}
	st := drawing.TextStyle{SizePT: 8}
	h := s.Legend(drawing.Rect{X: g.all.X, Y: g.all.Y, W: g.all.W}, states, st)
	if h < gridLegend-4.5 {
		note := "A number tells how many events a day had; the colour is that of the worst: ground short of product before readings lost."
		s.Text(drawing.Point{X: g.all.X, Y: g.all.Y + h + 3.4}, note, st.In(drawing.Soft).Shrink(note, g.all.W, 5))
	}
}
