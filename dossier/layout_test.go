package dossier

import (
	"math"
	"testing"

	"runproof/drawing"
	"runproof/drawing/font"
)

// boxOf is the ink of a text: from the base line's descent to the capitals'
// height, over its width, turned with it by 0 or -90 degrees.
func boxOf(t drawing.Text) drawing.Rect {
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

// checkSheets fails where text or a line leaves its sheet, where two texts run
// into each other, or where a character is missing from the typeface.
func checkSheets(t *testing.T, name string, sheets []*drawing.Sheet) {
	t.Helper()
	for i, s := range sheets {
		var boxes []drawing.Rect
		var texts []string
		for _, item := range s.Items {
			switch v := item.(type) {
			case drawing.Text:
				box := boxOf(v)
				if box.X < 0 || box.Y < 0 || box.Right() > s.Size.WMM || box.Bottom() > s.Size.HMM {
					t.Errorf("%s, page %d: %q leaves the page: %+v of %+v", name, i+1, v.Text, box, s.Size)
				}
				checkCharacters(t, name, i+1, v)
				boxes, texts = append(boxes, box), append(texts, v.Text)
			case drawing.Path:
				checkPath(t, name, i+1, s, v)
			}
		}
		for a := range boxes {
			for b := range a {
				if o := overlap(boxes[a], boxes[b]); o > 0.25 {
					t.Errorf("%s, page %d: %q and %q overlap by %.2f mm", name, i+1, texts[b], texts[a], o)
				}
			}
		}
	}
}

func checkCharacters(t *testing.T, name string, page int, v drawing.Text) {
	t.Helper()
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
