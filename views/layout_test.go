package views

import (
	"bytes"
	"math"
	"testing"

	"runproof/drawing"
	"runproof/drawing/font"
	"runproof/drawing/svg"
	"runproof/drill"
)

// checkSheet fails where text or a line leaves its sheet, where two texts run
// into each other, or where a character is missing from the typeface.
func checkSheet(t *testing.T, name string, s *drawing.Sheet) {
	t.Helper()
	var texts []drawing.Text
	inside := func(q drawing.Point) bool {
		return q.X > -0.01 && q.Y > -0.01 && q.X < s.Size.WMM+0.01 && q.Y < s.Size.HMM+0.01
	}
	for _, item := range s.Items {
		switch v := item.(type) {
		case drawing.Text:
			for _, q := range v.Outline() {
				if !inside(q) {
					t.Errorf("%s: %q leaves the sheet of %+v at %v", name, v.Text, s.Size, q)
					break
				}
			}
			for _, r := range v.Text {
				if !font.Regular.Has(r) {
					t.Errorf("%s: %q has %q, which the typeface lacks", name, v.Text, r)
				}
			}
			texts = append(texts, v)
		case drawing.Path:
			checkPath(t, name, v, inside)
		case drawing.Disc:
			if q := v.Centre; math.IsNaN(q.X+q.Y+v.RMM) || !inside(q.Add(v.RMM, v.RMM)) || !inside(q.Add(-v.RMM, -v.RMM)) {
				t.Errorf("%s: a disc of %.1f mm leaves the sheet at %v", name, v.RMM, q)
			}
		}
	}
	for a := range texts {
		for b := range a {
			if o := drawing.Overlap(texts[a].Outline(), texts[b].Outline()); o > 0.25 {
				t.Errorf("%s: %q and %q overlap by %.2f mm", name, texts[b].Text, texts[a].Text, o)
			}
		}
	}
}

func checkPath(t *testing.T, name string, p drawing.Path, inside func(drawing.Point) bool) {
	t.Helper()
	for _, l := range p.Lines {
		for _, q := range l {
			if !inside(q) { // not a number is not inside
				t.Errorf("%s: a line leaves the sheet at %v", name, q)
				return
			}
		}
	}
}

func TestTopOfEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fixture(c.Drill)
		for _, w := range []float64{160, 280} {
			checkSheet(t, c.Name, Top(f, Options{WidthMM: w}))
		}
	}
}

func TestGoldenTop(t *testing.T) {
	var out bytes.Buffer
	if err := svg.Write(&out, Top(fixture(drill.Cases()[0].Drill), Options{WidthMM: 180}), svg.Options{}); err != nil {
		t.Fatal(err)
	}
	golden(t, "top.svg", out.Bytes())
}
