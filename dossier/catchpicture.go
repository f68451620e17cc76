package dossier

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/drawing"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
)

// rowBar is one run's deviation across the width.
type rowBar struct {
	row       int
	run       drill.RunID
	head      drill.HeadID
	dev       float64 // part of the mean
	low, high *float64
	odd       bool
}

// How runs in line and out of line look.
var (
	inLine    = drawing.State{Word: "in line", Ink: drawing.Rule}
	outOfLine = drawing.State{Word: "out of line with its head", Ink: drawing.Vermillion, Hatch: drawing.Rising, Mark: drawing.Triangle}
)

func catchBars(p *evenness.ProductCatch) []rowBar {
	odd := oddOnes(p.OutOfLine)
	bars := make([]rowBar, len(p.Runs))
	for i, r := range p.Runs {
		bars[i] = rowBar{row: r.Row, run: r.Run, head: r.Head, dev: r.Deviation, low: partOf(r.MeanG.Low, p.MeanG), high: partOf(r.MeanG.High, p.MeanG), odd: odd[r.Run]}
	}
	return bars
}

func oddOnes(odd []evenness.Odd) map[drill.RunID]bool {
	out := map[drill.RunID]bool{}
	for _, o := range odd {
		out[o.Run] = true
	}
	return out
}

func partOf(g *float64, mean float64) *float64 {
	if g == nil {
		return nil
	}
	v := *g/mean - 1
	return &v
}

// CatchBars draws the bars of one product of a catch test as a picture of its own.
func CatchBars(f *fit.Fit, p *evenness.ProductCatch, size drawing.Size) *drawing.Sheet {
	s := drawing.NewSheet(size)
	s.Title = fmt.Sprintf("Deviation of each run of %s from the mean, across the width", p.Product)
	catchRowBars(p, f.Drill.Rows.Count).draw(s, s.Bounds().Inset(4))
	return s
}

func catchRowBars(p *evenness.ProductCatch, rows int) rowBars {
	return rowBars{bars: catchBars(p), rows: rows, title: "from the mean [%]", plain: inLine, odd: outOfLine}
}

// rowBars are bars of runs over their rows, as seen from behind with the left of
// the drill on the left: up is more, down is less.
type rowBars struct {
	bars       []rowBar
	rows       int
	title      string // of the upright axis
	plain, odd drawing.State
}

func (b rowBars) draw(s *drawing.Sheet, r drawing.Rect) {
	bars, rows := b.bars, b.rows
	st := drawing.TextStyle{SizePT: 8}
	used := s.Legend(drawing.Rect{X: r.X + 20, Y: r.Y, W: r.W - 20}, []drawing.State{b.plain, b.odd}, st) + 2
	r.Y, r.H = r.Y+used, r.H-used
	reach := roundUp(b.most())
	x := drawing.Axis{Min: 0.5, Max: float64(rows) + 0.5, Title: "row, 1 = left, seen from behind", Ticks: rowTicks(rows, r.W), NoGrid: true}
	p := barPlot(r, x, drawing.Axis{Min: -reach, Max: reach, Title: b.title, Ticks: drawing.NiceTicks(-reach, reach, 6)})
	p.Axes(s)
	s.Line(p.At(0.5, 0), p.At(float64(rows)+0.5, 0), drawing.Thin.Of(drawing.Accent))
	for _, bar := range bars {
		b.bar(s, p, bar, reach)
	}
	b.labels(s, p, reach)
	headStrip(s, p, bars)
}

// most is how far the axis must go, percent: as far as the runs in line do, and
// to odd ones that do not go much farther. Those that do are cut, and say so.
func (b rowBars) most() float64 {
	const much = 3
	extent := func(x rowBar) float64 {
		most := math.Abs(x.dev)
		for _, v := range []*float64{x.low, x.high} {
			if v != nil {
				most = math.Max(most, math.Min(math.Abs(x.dev)+0.5, math.Abs(*v)))
			}
		}
		return 100 * most
	}
	plain, odd := 5.0, 0.0
	for _, x := range b.bars {
		if e := extent(x); !x.odd {
			plain = math.Max(plain, e)
		}
	}
	for _, x := range b.bars {
		if e := extent(x); x.odd && e <= much*plain {
			odd = math.Max(odd, e)
		}
	}
	return math.Max(plain, odd)
}

func (rb rowBars) bar(s *drawing.Sheet, p drawing.Plot, b rowBar, reach float64) {
	at := float64(b.row)
	v := math.Max(-reach, math.Min(reach, 100*b.dev))
	a, c := p.At(at-0.36, math.Max(v, 0)), p.At(at+0.36, math.Min(v, 0))
	state := rb.plain
	if b.odd {
		state = rb.odd
	}
	if ring := (drawing.Rect{X: a.X, Y: a.Y, W: c.X - a.X, H: c.Y - a.Y}).Corners(); c.Y > a.Y {
		s.Shade([][]drawing.Point{ring}, state, 1.2)
		if c.X-a.X > 0.6 {
			s.Polygon(ring, drawing.Hair.Of(drawing.Dark), drawing.NoInk)
		}
	}
	if b.low != nil && b.high != nil {
		clip := func(v float64) float64 { return math.Max(-reach, math.Min(reach, 100*v)) }
		s.Line(p.At(at, clip(*b.low)), p.At(at, clip(*b.high)), drawing.Thin)
	}
}

// labels names odd runs at the foot of their bars, on the side where the bar is
// not, and says how far a bar would go that was cut. Names that would lie over
// others stand further out; where there is no room left, the bar has no name.
func (b rowBars) labels(s *drawing.Sheet, p drawing.Plot, reach float64) {
	st := drawing.TextStyle{SizePT: 7, Align: drawing.Centre}.Bold()
	high := st.CapMM() + 0.8
	var right [2][3]float64 // of the last names above and below, by how far out
	for _, bar := range b.oddByRow() {
		text := string(bar.run)
		if math.Abs(100*bar.dev) > reach {
			text += " " + signedPercent(bar.dev)
		}
		half := st.WidthMM(text)/2 + 0.5
		at := p.At(float64(bar.row), 0)
		at.X = math.Max(p.Frame.X+half, math.Min(p.Frame.Right()-half, at.X))
		side, down := 0, -1.2
		if bar.dev > 0 {
			side, down = 1, 1.2+st.CapMM()
		}
		out := slices.IndexFunc(right[side][:], func(x float64) bool { return at.X-half >= x })
		if out < 0 {
			continue
		}
		right[side][out] = at.X + half
		at.Y += down + math.Copysign(float64(out)*high, down)
		s.Rect(drawing.Rect{X: at.X - half, Y: at.Y - high + 0.4, W: 2 * half, H: high}, drawing.Pen{}, drawing.Ground)
		s.Text(at, text, st)
	}
}

func (b rowBars) oddByRow() []rowBar {
	odd := slices.DeleteFunc(slices.Clone(b.bars), func(x rowBar) bool { return !x.odd })
	slices.SortStableFunc(odd, func(x, y rowBar) int { return cmp.Compare(x.row, y.row) })
	return odd
}

// rowTicks names every row that there is room for.
func rowTicks(rows int, widthMM float64) []drawing.TickMark {
	const leastMM = 7
	step := 1
	for _, s := range []int{1, 2, 5, 10, 20, 50} {
		step = s
		if widthMM/float64(rows)*float64(s) >= leastMM {
			break
		}
	}
	ticks := []drawing.TickMark{}
	for row := 1; row <= rows; row++ {
		if row == 1 || row%step == 0 {
			ticks = append(ticks, drawing.TickMark{At: float64(row), Label: fmt.Sprint(row)})
		}
	}
	if len(ticks) > 1 && step > 1 && step < 4 {
		ticks = ticks[1:] // 1 and 2 would crowd each other
	}
	return ticks
}

// headStrip parts heads whose rows lie side by side with a line and writes the
// head's name at the top of the plot.
func headStrip(s *drawing.Sheet, p drawing.Plot, bars []rowBar) {
	st := drawing.TextStyle{SizePT: 8, Align: drawing.Centre, Ink: drawing.Soft}.Bold()
	first := map[drill.HeadID]int{}
	last := map[drill.HeadID]int{}
	var order []drill.HeadID
	for _, b := range bars {
		if _, ok := first[b.head]; !ok {
			first[b.head], last[b.head] = b.row, b.row
			order = append(order, b.head)
		}
		first[b.head], last[b.head] = min(first[b.head], b.row), max(last[b.head], b.row)
	}
	right := math.Inf(-1)
	for _, h := range order {
		from, to := p.At(float64(first[h])-0.5, 0).X, p.At(float64(last[h])+0.5, 0).X
		if mid, half := (from+to)/2, st.WidthMM(string(h))/2+0.6; mid-half > right && mid+half <= p.Frame.Right()+2 {
			s.Text(drawing.Point{X: mid, Y: p.Frame.Y - 0.8}, string(h), st)
			right = mid + half
		}
		if to < p.Frame.Right()-0.5 {
			s.Line(drawing.Point{X: to, Y: p.Frame.Y}, drawing.Point{X: to, Y: p.Frame.Bottom()}, drawing.Grid)
		}
	}
}

// headCircles draws each head from above: outlets around it in the order of
// their numbers, outlet 1 at the top and on clockwise; how far out a spoke
// reaches is what the run gave, the ring is the mean of all runs.
func (b *catchBook) headCircles(p *evenness.ProductCatch) {
	heads := p.Division.Heads
	if len(heads) == 0 {
		return
	}
	const high, least = 52.0, 42.0
	b.Need(high + 24)
	b.Heading("The heads from above")
	b.Paragraph("Outlet 1 at the top, the others clockwise in the order of their numbers, as if they stood evenly around the head: turn the sheet to suit the machine. The ring is the mean of all runs of the product; a spoke that ends outside it gave more, and deviations are drawn four times as large as they are. An arrow shows the side that gets more, where that is certain.")
	across := max(1, min(len(heads), int(b.Width()/least)))
	for i := 0; i < len(heads); i += across {
		s, r := b.Area(high)
		w := r.W / float64(across)
		for k, h := range heads[i:min(len(heads), i+across)] {
			box := drawing.Rect{X: r.X + float64(k)*w, Y: r.Y, W: w, H: high}
			d, _ := b.day.Fit.Drill.Head(h.Head)
			drawHeadCircle(s, box, p, h, len(d.Rows))
		}
	}
}

// headStretch draws deviations larger than they are: a tenth more than the mean
// is four tenths of the ring.
const headStretch = 4

func drawHeadCircle(s *drawing.Sheet, box drawing.Rect, p *evenness.ProductCatch, h evenness.HeadMean, outlets int) {
	odd := oddOnes(p.OutOfLine)
	name := drawing.TextStyle{SizePT: 9, Align: drawing.Centre}.Bold()
	title := fmt.Sprintf("head %s, %s", h.Head, signedPercent(h.Deviation))
	s.Text(drawing.Point{X: box.Centre().X, Y: box.Y + 4}, title, name.Shrink(title, box.W-2, 6))
	c := drawing.Point{X: box.Centre().X, Y: box.Y + 10 + (box.H-12)/2}
	ring := math.Min(box.W, box.H-12) / 2 * 0.64
	s.Circle(c, ring, drawing.Thin.Of(drawing.Accent), drawing.NoInk)
	for _, r := range headRuns(p, h.Head) {
		reach := math.Max(0.05, math.Min(1.45, 1+headStretch*r.Deviation)) * ring
		sin, cos := math.Sincos(2 * math.Pi * float64(r.Outlet-1) / float64(outlets))
		tip := c.Add(reach*sin, -reach*cos)
		ink, mark := drawing.Dark, drawing.FullDisc
		if odd[r.Run] {
			ink, mark = outOfLine.Ink, outOfLine.Mark
		}
		s.Line(c, tip, drawing.Hair)
		s.Mark(tip, 1.6, mark, ink)
	}
	label := drawing.TextStyle{SizePT: 6.5, Align: drawing.Centre, Ink: drawing.Soft}
	s.Label(c.Add(0, -ring*1.45-1.6), "1", label)
	for _, t := range p.Tilts {
		if t.Head == h.Head && t.Sure {
			sin, cos := math.Sincos(t.TowardDeg * math.Pi / 180)
			s.Arrow(c, c.Add(ring*0.8*sin, -ring*0.8*cos), drawing.Stout.Of(drawing.Accent), 2.4)
		}
	}
}
