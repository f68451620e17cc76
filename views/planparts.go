package views

import (
	"fmt"
	"math"

	"runproof/drawing"
	"runproof/drill"
)

// rowUse is what feeds a row.
type rowUse struct{ runs, sensed, closed int }

func rowUses(d *drill.Drill) []rowUse {
	uses := make([]rowUse, d.Rows.Count)
	for _, r := range d.Runs() {
		if r.Row < 1 || r.Row > len(uses) {
			continue
		}
		u := &uses[r.Row-1]
		u.runs++
		if r.Sensed {
			u.sensed++
		}
		if r.Closed {
			u.closed++
		}
	}
	return uses
}

// The looks of an opener, by what feeds it.
var (
	openerSensed = drawing.State{Word: "sensed", Ink: drawing.Dark, Mark: drawing.Triangle}
	openerBlind  = drawing.State{Word: "not sensed", Ink: drawing.Dark, Mark: drawing.Ring}
	openerClosed = drawing.State{Word: "closed on purpose", Ink: drawing.Vermillion, Mark: drawing.Cross}
	openerUnfed  = drawing.State{Word: "no run", Ink: drawing.Soft, Mark: drawing.Bar}
)

func (u rowUse) state() drawing.State {
	switch {
	case u.runs == 0:
		return openerUnfed
	case u.closed == u.runs:
		return openerClosed
	case u.sensed == 0:
		return openerBlind
	}
	return openerSensed
}

func (p *plan) openers() {
	size := min(2.4, max(0.45, p.pitch()*0.62))
	words := p.rowWords()
	for i, u := range p.rows {
		st := u.state()
		p.Group(fmt.Sprintf("row-%d", i+1), words[i], func() {
			p.Mark(p.at(p.d.RowAt(i+1)), size, st.Mark, st.Ink)
		})
	}
}

// rowWords says of each row what feeds it and which port listens.
func (p *plan) rowWords() []string {
	words := make([]string, len(p.rows))
	for i := range words {
		words[i] = fmt.Sprintf("row %d", i+1)
	}
	for _, r := range p.d.Runs() {
		if r.Row < 1 || r.Row > len(words) {
			continue
		}
		port := "not sensed"
		if ref, ok := p.f.PortOf(r.ID); ok {
			port = "port " + ref.String()
		}
		words[r.Row-1] += fmt.Sprintf("; %s, %s, %s", r.ID, r.Product, port)
	}
	return words
}

// frame draws the ranks' bars and the frame's own points and links, if described.
func (p *plan) frame() {
	bar := drawing.Pen{Ink: drawing.Rule, WidthMM: 0.6}
	ranks := p.d.Rows.RanksM
	for k := range ranks {
		if k >= p.d.Rows.Count {
			break
		}
		last := k + (p.d.Rows.Count-1-k)/len(ranks)*len(ranks)
		p.Line(p.at(p.d.RowAt(k+1)), p.at(p.d.RowAt(last+1)), bar)
	}
	at := map[string]drawing.Point{}
	for _, q := range p.d.Frame.Points {
		at[q.ID] = p.at(q.At)
	}
	for _, l := range p.d.Frame.Links {
		a, okA := at[l.From]
		b, okB := at[l.To]
		if okA && okB {
			p.Polylines(drawing.ClipPolyline([]drawing.Point{a, b}, p.area), drawing.Pen{Ink: drawing.Rule, WidthMM: 0.9})
		}
	}
	for _, q := range p.d.Frame.Points {
		if y := at[q.ID].Y; y >= p.area.Y && y <= p.area.Bottom() {
			p.Circle(at[q.ID], 0.9, drawing.Hair, drawing.Ground)
		}
	}
}

// hoses draws each run from its head to its opener, one pattern a product.
func (p *plan) hoses() {
	lines := map[drill.ProductID][][]drawing.Point{}
	for _, h := range p.d.Heads {
		for _, row := range h.Rows {
			lines[h.Product] = append(lines[h.Product], []drawing.Point{p.at(h.At), p.at(p.d.RowAt(row))})
		}
	}
	for i, product := range p.d.Products {
		p.Polylines(lines[product.ID], hosePen(i))
	}
}

// hosePen is the pen of the i-th product's hoses.
func hosePen(i int) drawing.Pen {
	inks := []drawing.Ink{drawing.Soft, drawing.Blue, drawing.Purple, drawing.Green}
	dashes := []drawing.Dash{drawing.Solid, drawing.Dashed, drawing.DashDot, drawing.Dotted}
	return drawing.Pen{Ink: inks[i%len(inks)], WidthMM: 0.12, Dash: dashes[i%len(dashes)]}
}

// headRadius is as large as the nearest neighbour lets it be [mm].
func (p *plan) headRadius() float64 {
	r := 2.3
	for i, a := range p.d.Heads {
		for _, b := range p.d.Heads[:i] {
			pa, pb := p.at(a.At), p.at(b.At)
			if gap := math.Hypot(pa.X-pb.X, pa.Y-pb.Y); gap > 0 {
				r = min(r, gap*0.48)
			}
		}
	}
	return max(0.7, r)
}

func (p *plan) heads() {
	r := p.headRadius()
	withNode := map[drill.HeadID]bool{}
	for _, n := range p.f.Nodes {
		withNode[n.Head] = true
	}
	for _, h := range p.d.Heads {
		c := p.at(h.At)
		p.Group("head-"+string(h.ID), fmt.Sprintf("head %s, %s, rows %s", h.ID, h.Product, h.Rows), func() {
			if withNode[h.ID] {
				p.Rect(drawing.Rect{X: c.X - r*1.25, Y: c.Y - r*1.25, W: r * 2.5, H: r * 2.5}, drawing.Thin.Of(drawing.Accent), drawing.Ground)
			}
			p.Circle(c, r, drawing.Thin, drawing.Tint)
			st := drawing.TextStyle{SizePT: r * 3.2, Align: drawing.Centre}.Bold()
			if st = st.Shrink(string(h.ID), 1.7*r, 3); st.WidthMM(string(h.ID)) <= 1.9*r && r > 1 {
				p.Label(c, string(h.ID), st)
			}
		})
	}
}
