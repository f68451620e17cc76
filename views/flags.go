package views

import (
	"slices"
	"strings"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// headFlag is the label of one head in the strip above the plan.
type headFlag struct {
	head  drill.Head
	lines []string // head and product; then the serials of its nodes
}

const flagPT = 7.5

// planFlags returns the heads' labels from left to right and whether they must
// stand upright to fit the width [mm].
func planFlags(f *fit.Fit, widthMM float64) (flags []headFlag, turn bool) {
	total := 0.0
	for _, h := range HeadsLeftToRight(&f.Drill) {
		fl := headFlag{head: h, lines: []string{string(h.ID) + " " + string(h.Product)}}
		for _, n := range f.Nodes {
			if n.Head == h.ID {
				fl.lines = append(fl.lines, n.Serial)
			}
		}
		for i, l := range fl.lines {
			fl.lines[i] = flagStyle(i).Fit(l, longestFlagMM)
		}
		flags = append(flags, fl)
		total += fl.widthMM()
	}
	return flags, total > widthMM
}

func flagStyle(line int) drawing.TextStyle {
	st := drawing.TextStyle{SizePT: flagPT}
	if line == 0 {
		return st.Bold()
	}
	return st.In(drawing.Accent)
}

func (fl headFlag) widthMM() float64 {
	w := 0.0
	for i, l := range fl.lines {
		w = max(w, flagStyle(i).WidthMM(l))
	}
	return w + 2.5
}

// longestFlagMM is the most that a flag may be wide or, upright, high.
const longestFlagMM = 50.0

// upright returns the one line that an upright flag carries.
func (fl headFlag) upright() string {
	return flagStyle(0).Fit(strings.Join(fl.lines, "  "), longestFlagMM)
}

// flagStrip returns the height of the strip that the flags and their leaders need [mm].
func (p *plan) flagStrip() float64 {
	lines, longest := 1, 0.0
	for _, fl := range p.flags {
		lines = max(lines, len(fl.lines))
		longest = max(longest, flagStyle(0).WidthMM(fl.upright()))
	}
	if p.turn {
		return longest + 8
	}
	return float64(lines)*flagStyle(0).LineMM() + 8
}

// drawFlags writes the flags in the strip, each as near over its head as its
// neighbours allow, with a leader down to the head.
func (p *plan) drawFlags(r drawing.Rect) {
	want, width := make([]float64, len(p.flags)), make([]float64, len(p.flags))
	line := flagStyle(0).LineMM()
	for i, fl := range p.flags {
		want[i] = p.at(fl.head.At).X
		if width[i] = fl.widthMM(); p.turn {
			width[i] = min(line*1.1, r.W/float64(len(p.flags)))
		}
	}
	foot := p.strip + p.flagStrip() - 5
	for i, x := range spread(want, width, r.X, r.Right()) {
		head := p.at(p.flags[i].head.At)
		p.Polyline([]drawing.Point{{X: x, Y: foot}, {X: x, Y: foot + 1.2}, {X: head.X, Y: foot + 4.5}, {X: head.X, Y: head.Y - p.headRadius()*1.25}}, drawing.Hair)
		if p.turn {
			p.Label(drawing.Point{X: x, Y: foot - 0.5}, p.flags[i].upright(), flagStyle(0).Sized(min(flagPT, width[i]/drawing.MMPerPT/1.15)).Turned(-90))
			continue
		}
		for k, l := range p.flags[i].lines {
			up := float64(len(p.flags[i].lines)-1-k) * line
			p.Text(drawing.Point{X: x, Y: foot - 1 - up}, l, flagStyle(k).Aligned(drawing.Centre))
		}
	}
}

// spread places boxes of given widths, wanted at given ascending centres, so
// that none overlap and the sum of squared moves is least; then it shifts those
// that leave [lo, hi] inside. With x_i = want_i - c_i, c_i being where box i
// would lie in a closed row, this is an isotonic regression, solved by pooling
// adjacent violators (Barlow et al. 1972, Statistical Inference under Order Restrictions).
func spread(want, width []float64, lo, hi float64) []float64 {
	type pool struct {
		sum float64
		n   int
	}
	var pools []pool
	closed, c := make([]float64, len(want)), 0.0
	for i := range want {
		closed[i] = c + width[i]/2
		c += width[i]
		pools = append(pools, pool{want[i] - closed[i], 1})
		for k := len(pools) - 1; k > 0 && pools[k-1].sum*float64(pools[k].n) > pools[k].sum*float64(pools[k-1].n); k-- {
			pools[k-1] = pool{pools[k-1].sum + pools[k].sum, pools[k-1].n + pools[k].n}
			pools = pools[:k]
		}
	}
	var at []float64
	for _, q := range pools {
		x := max(lo, min(hi-c, q.sum/float64(q.n)))
		at = append(at, slices.Repeat([]float64{x}, q.n)...)
	}
	for i := range at {
		at[i] += closed[i]
	}
	return at
}
