package yard

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"runproof/drawing"
	"runproof/drawing/font"
	"runproof/drill"
	"runproof/fit"
)

// inkOf is the ink of a text: from the base line's descent to the capitals'
// height, over its width, turned with it by 0 or -90 degrees.
func inkOf(t drawing.Text) drawing.Rect {
	w, up, down := t.Style.WidthMM(t.Text), t.Style.CapMM(), 0.12*t.Style.SizeMM()
	from := map[drawing.Align]float64{drawing.Left: 0, drawing.Centre: -w / 2, drawing.Right: -w}[t.Style.Align]
	if t.Style.AngleDeg == -90 {
		return drawing.Rect{X: t.At.X - up, Y: t.At.Y - from - w, W: up + down, H: w}
	}
	return drawing.Rect{X: t.At.X + from, Y: t.At.Y - up, W: w, H: up + down}
}

// overlap is the smaller side of what two boxes have in common [mm].
func overlap(a, b drawing.Rect) float64 {
	w := math.Min(a.Right(), b.Right()) - math.Max(a.X, b.X)
	h := math.Min(a.Bottom(), b.Bottom()) - math.Max(a.Y, b.Y)
	return math.Min(w, h)
}

// checkPages fails where text or a line leaves its page, where two texts run
// into each other, or where the typeface lacks a character.
func checkPages(t *testing.T, name string, b *drawing.Book) {
	t.Helper()
	for i, s := range b.Sheets {
		var inks []drawing.Text
		for _, item := range s.Items {
			switch v := item.(type) {
			case drawing.Text:
				checkText(t, name, i+1, s, v)
				inks = append(inks, v)
			case drawing.Path:
				checkPath(t, name, i+1, s, v)
			}
		}
		for a := range inks {
			for c := range a {
				if o := overlap(inkOf(inks[a]), inkOf(inks[c])); o > 0.3 {
					t.Errorf("%s, page %d: %q and %q overlap by %.2f mm", name, i+1, inks[c].Text, inks[a].Text, o)
				}
			}
		}
	}
}

func checkText(t *testing.T, name string, page int, s *drawing.Sheet, v drawing.Text) {
	t.Helper()
	if r := inkOf(v); r.X < 0 || r.Y < 0 || r.Right() > s.Size.WMM || r.Bottom() > s.Size.HMM {
		t.Errorf("%s, page %d: %q leaves the page: %+v of %+v", name, page, v.Text, r, s.Size)
	}
	for _, r := range v.Text {
		if !font.Regular.Has(r) {
			t.Errorf("%s, page %d: %q has %q, which the typeface lacks", name, page, v.Text, r)
		}
	}
}

func checkPath(t *testing.T, name string, page int, s *drawing.Sheet, p drawing.Path) {
	t.Helper()
	for _, l := range p.Lines {
		for _, q := range l {
			if q.X < -0.01 || q.Y < -0.01 || q.X > s.Size.WMM+0.01 || q.Y > s.Size.HMM+0.01 || math.IsNaN(q.X+q.Y) {
				t.Errorf("%s, page %d: a line leaves the page at %v", name, page, q)
				return
			}
		}
	}
}

// TestNothingLeavesItsPage draws every drill on both papers, planned in part
// and in whole.
func TestNothingLeavesItsPage(t *testing.T) {
	for _, c := range drill.Cases() {
		for _, size := range []drawing.Paper{drawing.A4, drawing.Letter} {
			for kind, f := range map[string]*fit.Fit{"bare": bare(c.Drill), "whole": whole(c.Drill)} {
				for _, name := range worked {
					checkPages(t, c.Name+", "+kind+", "+name+", "+size.String(), paper(t, Input{Fit: f, Paper: size}, name))
				}
			}
		}
		checkPages(t, c.Name+", labels", paper(t, Input{Fit: whole(c.Drill)}, "labels"))
	}
}

// longNames is a fit with the longest names that a drill and a fit may have
// (24 characters of a head, 40 of a serial).
func longNames() *fit.Fit {
	f := whole(drill.Cases()[2].Drill)
	heads := map[drill.HeadID]drill.HeadID{}
	d := f.Drill
	d.Name = strings.Repeat("A drill with a name that goes on ", 8)
	d.Heads = slices.Clone(d.Heads)
	for i, h := range d.Heads {
		heads[h.ID] = drill.HeadID(fmt.Sprintf("Middle-Wing-Head-Left-%02d", i))
		d.Heads[i].ID = heads[h.ID]
	}
	g := whole(&d)
	serial := func(s string) string {
		if _, err := strconv.Atoi(s); err == nil {
			return strings.Repeat("MW", 18) + s
		}
		return s
	}
	for i := range g.Nodes {
		g.Nodes[i].Serial = serial(g.Nodes[i].Serial)
	}
	for i := range g.Map {
		g.Map[i].Node = serial(g.Map[i].Node)
	}
	for i := range g.Harness.Legs {
		l := &g.Harness.Legs[i]
		l.From, l.To = serial(l.From), serial(l.To)
	}
	for i := range g.Harness.Places {
		g.Harness.Places[i].ID = serial(g.Harness.Places[i].ID)
	}
	for i := range g.Harness.Bus {
		g.Harness.Bus[i] = serial(g.Harness.Bus[i])
	}
	return g
}

func TestLongNamesStayOnThePage(t *testing.T) {
	f := longNames()
	for _, name := range worked {
		checkPages(t, "long names, "+name, paper(t, Input{Fit: f}, name))
	}
	size, err := ParseLabels("105x57", drawing.A4)
	if err != nil {
		t.Fatal(err)
	}
	checkPages(t, "long names, labels", paper(t, Input{Fit: f, Labels: size}, "labels"))
	if _, err := Sheets(Input{Fit: f}); err == nil || !strings.Contains(err.Error(), "too small") {
		t.Errorf("small labels with long names: %v", err)
	}
}

// TestNothingSensed is a fit without nodes.
func TestNothingSensed(t *testing.T) {
	d := *drill.Cases()[0].Drill
	d.Sensing.Products = nil
	f := bare(&d)
	docs, err := Sheets(Input{Fit: f})
	if err != nil || len(f.Map) > 0 {
		t.Fatal(err)
	}
	for _, doc := range docs {
		if len(doc.Book.Sheets) == 0 {
			t.Errorf("%s has no page", doc.Name)
		}
		checkPages(t, "nothing sensed, "+doc.Name, doc.Book)
	}
}
