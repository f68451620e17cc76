package dossier

import (
	"fmt"
	"math"

	"runproof/drawing"
	"runproof/drill"
	"runproof/flowlog"
	"runproof/review"
)

// level is a class of a run's share against its usual one, as the picture shows it.
type level uint8

const (
	idle    level = iota // not called for: lifted, shut off or starting
	unknown              // called for, but not reported
	nearly0              // under a tenth of its usual share
	low
	lowish
	usual
	high
	levels // number of levels
)

var levelStates = [levels]drawing.State{
	idle:    {Word: "not in work", Ink: drawing.Ground, Hatch: drawing.NoHatch},
	unknown: {Word: "not reported", Ink: drawing.Ground, Hatch: drawing.Speckled},
	nearly0: {Word: "under 10 %", Ink: drawing.Dark},
	low:     {Word: "10 to 50 %", Ink: drawing.Soft},
	lowish:  {Word: "50 to 80 %", Ink: drawing.Rule},
	usual:   {Word: "80 to 125 % of its usual share", Ink: drawing.Tint},
	high:    {Word: "over 125 %", Ink: drawing.Sky},
}

func levelOf(c review.Cell) level {
	switch {
	case c.Work < 0.5:
		return idle
	case math.IsNaN(c.Level):
		if c.Gone > 0.5 {
			return unknown
		}
		return idle
	case c.Level < 0.1:
		return nearly0
	case c.Level < 0.5:
		return low
	case c.Level < 0.8:
		return lowish
	case c.Level <= 1.25:
		return usual
	}
	return high
}

// rowsPerPage is how many runs a page can show so that each can still be told from the next.
const rowsPerPage = 130

// runsByTime shows the day as a raster of runs by time with the events over it.
func (r *report) runsByTime() {
	p := r.day.Review.Picture
	pages := (len(p.Runs) + rowsPerPage - 1) / rowsPerPage
	for page := range pages {
		from, to := page*len(p.Runs)/pages, (page+1)*len(p.Runs)/pages
		r.Turn(r.day.Paper.Landscape())
		title := "Runs by time"
		if pages > 1 {
			title = fmt.Sprintf("Runs by time, %s to %s", p.Runs[from], p.Runs[to-1])
		}
		r.Title(title)
		s, area := r.Rest(60)
		newRaster(r.day, from, to, area).draw(s)
	}
}

// RunsByTime draws the raster of runs from to to (not included) as a picture of its own.
func RunsByTime(day Day, from, to int, size drawing.Size) *drawing.Sheet {
	s := drawing.NewSheet(size)
	s.Title = "Share of each run against its usual share, by time"
	from = max(0, min(from, len(day.Review.Picture.Runs)))
	to = max(from, min(to, len(day.Review.Picture.Runs)))
	newRaster(day, from, to, s.Bounds().Inset(5)).draw(s)
	return s
}

// raster is one picture of runs by time.
type raster struct {
	day    Day
	runs   []drill.RunID
	cells  [][]review.Cell
	heads  []drill.HeadID // of each run
	startS float64
	cellS  float64
	clock  flowlog.Clock
	all    drawing.Rect
	area   drawing.Rect // of the cells
	top    []float64    // of each row; heads are set apart
	rowMM  float64
}

func newRaster(day Day, from, to int, all drawing.Rect) *raster {
	p := day.Review.Picture
	r := &raster{day: day, runs: p.Runs[from:to], cells: p.Cells[from:to], startS: float64(p.StartNS) / 1e9, cellS: p.CellS, all: all}
	if _, c, err := flowlog.ParseTime(day.Review.Summary.Start); err == nil {
		r.clock = c
	}
	byID := runsByID(&day.Fit.Drill)
	for _, id := range r.runs {
		r.heads = append(r.heads, byID[id].Head)
	}
	r.layOut()
	return r
}

const (
	rasterLegend = 15.0
	rasterAxis   = 11.0
	rasterLeft   = 20.0
	rasterRight  = 4.0
	headGap      = 1.2
	tallestRow   = 5.0
)

func (r *raster) layOut() {
	gaps := 0
	for i := range r.runs {
		if i > 0 && r.heads[i] != r.heads[i-1] {
			gaps++
		}
	}
	room := r.all.H - rasterLegend - rasterAxis
	r.rowMM = max(0.2, min(tallestRow, (room-float64(gaps)*headGap)/float64(max(1, len(r.runs)))))
	y := r.all.Y + rasterLegend
	for i := range r.runs {
		if i > 0 && r.heads[i] != r.heads[i-1] {
			y += headGap
		}
		r.top = append(r.top, y)
		y += r.rowMM
	}
	r.area = drawing.Rect{X: r.all.X + rasterLeft, Y: r.all.Y + rasterLegend, W: r.all.W - rasterLeft - rasterRight, H: y - r.all.Y - rasterLegend}
}

func (r *raster) columns() int {
	n := 1
	for _, c := range r.cells {
		n = max(n, len(c))
	}
	return n
}

func (r *raster) x(cell float64) float64 { return r.area.X + cell*r.area.W/float64(r.columns()) }

func (r *raster) draw(s *drawing.Sheet) {
	r.legend(s)
	r.levels(s)
	r.labels(s)
	r.axis(s)
	r.events(s)
}

// levels paints the cells, joined along each row while their class stays the same.
func (r *raster) levels(s *drawing.Sheet) {
	var rings [levels][][]drawing.Point
	for i, row := range r.cells {
		for from := 0; from < len(row); {
			to, l := from+1, levelOf(row[from])
			for to < len(row) && levelOf(row[to]) == l {
				to++
			}
			x := r.x(float64(from))
			rings[l] = append(rings[l], drawing.Rect{X: x, Y: r.top[i], W: r.x(float64(to)) - x, H: r.rowMM}.Corners())
			from = to
		}
	}
	for l, rs := range rings {
		if st := levelStates[l]; level(l) != idle && len(rs) > 0 {
			s.Shade(rs, st, 1)
		}
	}
	for i := range r.runs {
		if r.rowMM > 1.8 {
			s.Line(drawing.Point{X: r.area.X, Y: r.top[i] + r.rowMM}, drawing.Point{X: r.area.Right(), Y: r.top[i] + r.rowMM}, drawing.Pen{Ink: drawing.Ground, WidthMM: 0.15})
		}
	}
}

// labels names runs where there is room, and heads.
func (r *raster) labels(s *drawing.Sheet) {
	run := drawing.TextStyle{SizePT: min(7, r.rowMM/drawing.MMPerPT*0.95), Align: drawing.Right}
	for i, id := range r.runs {
		if r.rowMM >= 1.7 {
			s.Label(drawing.Point{X: r.area.X - 1, Y: r.top[i] + r.rowMM/2}, string(id), run)
		}
		if i == 0 || r.heads[i] != r.heads[i-1] {
			r.headLabel(s, i)
		}
	}
}

func (r *raster) headLabel(s *drawing.Sheet, first int) {
	last := first
	for last+1 < len(r.heads) && r.heads[last+1] == r.heads[first] {
		last++
	}
	top, bottom := r.top[first], r.top[last]+r.rowMM
	x := r.all.X + 8
	s.Polyline([]drawing.Point{{X: x + 1.2, Y: top + 0.2}, {X: x, Y: top + 0.2}, {X: x, Y: bottom - 0.2}, {X: x + 1.2, Y: bottom - 0.2}}, drawing.Hair)
	if bottom-top > 1.8 {
		st := drawing.TextStyle{SizePT: 9, Align: drawing.Right}.Bold()
		s.Label(drawing.Point{X: x - 1, Y: (top + bottom) / 2}, string(r.heads[first]), st.Shrink(string(r.heads[first]), 6.5, 5))
	}
}

func (r *raster) axis(s *drawing.Sheet) {
	n := r.columns()
	ticks := drawing.ClockTicks(r.startS, r.startS+float64(n)*r.cellS, int(r.area.W/18))
	title := "time of day, UTC"
	if r.clock == flowlog.Seconds {
		title = "time of the recording, h:min"
	}
	for i, t := range ticks {
		if r.clock == flowlog.Seconds {
			ticks[i].Label = elapsed(t.At)
		}
	}
	y := r.area.Bottom()
	st := drawing.TextStyle{SizePT: 8, Align: drawing.Centre}
	for _, t := range ticks {
		x := r.x((t.At - r.startS) / r.cellS)
		s.Line(drawing.Point{X: x, Y: r.area.Y}, drawing.Point{X: x, Y: y + 1.2}, drawing.Grid)
		s.Text(drawing.Point{X: x, Y: y + 2 + st.CapMM()}, t.Label, st)
	}
	s.Line(drawing.Point{X: r.area.X, Y: y}, drawing.Point{X: r.area.Right(), Y: y}, drawing.Thin)
	s.Text(drawing.Point{X: r.area.Centre().X, Y: y + 3 + st.CapMM() + st.LineMM()}, title, st.In(drawing.Soft))
}

func (r *raster) legend(s *drawing.Sheet) {
	st := drawing.TextStyle{SizePT: 8}
	kinds := make([]drawing.State, 0, 8)
	for _, k := range review.Kinds() {
		for _, ev := range r.day.Review.Events {
			if ev.Kind == k {
				kinds = append(kinds, outlined(kindState(k)))
				break
			}
		}
	}
	h := s.Legend(drawing.Rect{X: r.all.X, Y: r.all.Y, W: r.all.W}, levelStates[unknown:], st)
	if len(kinds) > 0 {
		s.Legend(drawing.Rect{X: r.all.X, Y: r.all.Y + h + 0.5, W: r.all.W}, kinds, st)
	}
}
