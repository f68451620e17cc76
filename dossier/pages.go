package dossier

import (
	"fmt"

	"runproof/drawing"
	"runproof/drill"
)

// pages is a document in the making: the flow of its pages and the reader's units.
type pages struct {
	*drawing.Flow
	units units
}

func newPages(info drawing.Info, paper drawing.Paper, d drill.Display) pages {
	return pages{drawing.NewFlow(info, paper.Portrait(), marginMM), unitsOf(d)}
}

// fact is one figure with its name.
type fact struct{ name, value string }

// figures draws facts in a grid of boxes, four across.
func (b pages) figures(facts []fact) {
	const across, high, gap = 4, 15.0, 2.5
	w := (b.Width() - gap*(across-1)) / across
	for i := 0; i < len(facts); i += across {
		s, r := b.Area(high + gap)
		for k, f := range facts[i:min(len(facts), i+across)] {
			box := drawing.Rect{X: r.X + float64(k)*(w+gap), Y: r.Y, W: w, H: high}
			s.Rect(box, drawing.Grid, drawing.Zebra)
			value := drawing.TextStyle{SizePT: 15}.Bold()
			s.Text(drawing.Point{X: box.X + 2.5, Y: box.Y + 7.5}, f.value, value.Shrink(f.value, w-5, 7))
			s.Text(drawing.Point{X: box.X + 2.5, Y: box.Y + 12.5}, f.name, drawing.TextStyle{SizePT: 8.5, Ink: drawing.Soft})
		}
	}
}

// counter is a count of one state, shown large.
type counter struct {
	n     int
	state drawing.State
}

// counters draws counts side by side, each with its mark and word.
func (b pages) counters(cs []counter) {
	const high, least = 15.0, 26.0
	word := drawing.TextStyle{SizePT: 9}
	across := max(1, min(len(cs), int(b.Width()/least)))
	w := min(40, b.Width()/float64(across))
	for i := 0; i < len(cs); i += across {
		s, r := b.Area(high)
		for k, c := range cs[i:min(len(cs), i+across)] {
			x := r.X + float64(k)*w
			s.Mark(drawing.Point{X: x + 3, Y: r.Y + 5.5}, 5, c.state.Mark, c.state.Ink)
			s.Text(drawing.Point{X: x + 8, Y: r.Y + 8}, fmt.Sprint(c.n), drawing.TextStyle{SizePT: 20}.Bold())
			s.Text(drawing.Point{X: x + 8, Y: r.Y + 13}, c.state.Word, word.Shrink(c.state.Word, w-9, 6))
		}
	}
}

// warn prints a paragraph with the mark of what needs attention.
func (b pages) warn(text string) {
	st := b.Text.Bold()
	lines := st.Wrap(text, b.Width()-12)
	high := float64(len(lines))*st.LineMM() + 4
	s, r := b.Area(high)
	s.Rect(r, drawing.Stout.Of(stageAttend.Ink), drawing.NoInk)
	s.Mark(drawing.Point{X: r.X + 5, Y: r.Centre().Y}, 4.5, stageAttend.Mark, stageAttend.Ink)
	for i, l := range lines {
		s.Text(drawing.Point{X: r.X + 10, Y: r.Y + 2 + float64(i)*st.LineMM() + (st.LineMM()+st.CapMM())/2}, l, st)
	}
	b.Space(2)
}

// abreast draws a table in n columns side by side: full ones, and on the last
// page as equal ones as can be.
func (b pages) abreast(t drawing.Table, n int) {
	b.Columns(n)
	defer b.Columns(1)
	rows := t.Rows
	for len(rows) > 0 {
		t.Rows = rows[:min(3, len(rows))]
		b.Need(b.TableMM(t)) // no lonely head at the foot of a page
		t.Rows = rows[:(len(rows)+n-1)/n]
		for len(t.Rows) > 1 && b.TableMM(t) > b.Left() {
			t.Rows = t.Rows[:len(t.Rows)-1]
		}
		per := len(t.Rows)
		for k := 0; k < n && len(rows) > 0; k++ {
			if k > 0 {
				b.Need(b.Left() + 0.1) // the next column
			}
			t.Rows = rows[:min(per, len(rows))]
			rows = rows[len(t.Rows):]
			b.Table(t)
		}
		if len(rows) > 0 {
			b.Need(b.Left() + 0.1) // the next page
		}
	}
}
