package yard

import (
	"fmt"
	"math"

	"runproof/drawing"
	"runproof/input"
)

// What a label must hold [mm].
const (
	keyCapMM    = 5.0  // least height of the capitals of its key, see the package's comment
	keyCapMaxMM = 14.0 // enough to be read at 2.8 m
	secondCapMM = 4.65 // 16 minutes of arc at 1 m, where the label is wide enough
	moduleMM    = 0.35 // least side of a module of the code: three dots of a printer of 203 dots an inch
	codeMaxMM   = 26.0 // more makes a code no easier to read
	labelPadMM  = 2.0  // from the label's edge: printers are that exact
	edgeMM      = 5.0  // from the sheet's edge: printers reach no farther (common practice, no source)
	linePT      = 7.5  // small lines; more on a high label
	linePTMax   = 11.0
	leastLinePT = 5.5
)

// draw draws a label within its place.
func (l LabelSheet) draw(s *drawing.Sheet, r drawing.Rect, it label, made *codes) error {
	k, err := made.of(it.code.String())
	if err != nil {
		return l.tooSmall(it, "its code would be too dense")
	}
	in := l.inside(r)
	side := math.Min(codeMaxMM, math.Min(in.H, in.W*0.45))
	if least := moduleMM * float64(k.side); side < least {
		return l.tooSmall(it, fmt.Sprintf("the code on it needs %.0f mm", math.Ceil(least)))
	}
	s.Group("", k.text, func() {
		k.draw(s, drawing.Rect{X: in.Right() - side, Y: in.Y + (in.H-side)/2, W: side, H: side})
		err = l.write(s, drawing.Rect{X: in.X, Y: in.Y, W: in.W - side - 0.5, H: in.H}, it)
	})
	return err
}

// inside is what of a label's place is printed on, alike for all labels of a
// sheet: where the outer ones lie at its edge, the printer does not reach all of them.
func (l LabelSheet) inside(r drawing.Rect) drawing.Rect {
	if l.each() == 1 {
		return r.Inset(labelPadMM)
	}
	x := math.Max(labelPadMM, edgeMM-math.Min(l.LeftMM, l.Paper.WMM-l.LeftMM-l.width()))
	y := math.Max(labelPadMM, edgeMM-math.Min(l.TopMM, l.Paper.HMM-l.TopMM-l.height()))
	return drawing.Rect{X: r.X + x, Y: r.Y + y, W: math.Max(0, r.W-2*x), H: math.Max(0, r.H-2*y)}
}

// write writes the label's text from top to bottom: key, second, small lines.
func (l LabelSheet) write(s *drawing.Sheet, r drawing.Rect, it label) error {
	st := drawing.TextStyle{Ink: drawing.Black}
	lines, key := keyLines(st.Bold(), it.key, r)
	if float64(len(lines))*key.CapMM()*keyPitch > r.H*0.6 {
		return l.tooSmall(it, fmt.Sprintf("%q would be smaller than can be read at 1 m", it.key))
	}
	second := fitted(st.Bold(), it.second, r.W, math.Min(math.Max(secondCapMM, key.CapMM()*0.5), key.CapMM()*0.75)/capPerPT)
	gap := math.Min(3.2, r.H*0.06)
	y := r.Y + key.CapMM()
	for i, line := range lines {
		s.Text(drawing.Point{X: r.X, Y: y + float64(i)*key.CapMM()*keyPitch}, line, key)
	}
	y += float64(len(lines)-1)*key.CapMM()*keyPitch + gap + second.CapMM()
	s.Text(drawing.Point{X: r.X, Y: y}, it.second, second)
	return l.writeSmall(s, drawing.Rect{X: r.X, Y: y + gap*0.6, W: r.W, H: r.Bottom() - y - gap*0.6}, it)
}

// keyPitch is the distance of the base lines of a key of several lines, in
// heights of its capitals.
const keyPitch = 1.4

// capPerPT is the height of a capital for each point of size [mm].
var capPerPT = drawing.TextStyle{SizePT: 1}.CapMM()

// keyLines is the key as large as its place lets it be; one that is too long
// for a line is broken at the least size that can be read.
func keyLines(st drawing.TextStyle, text string, r drawing.Rect) ([]string, drawing.TextStyle) {
	one := fitted(st, text, r.W, math.Min(keyCapMaxMM, r.H*0.33)/capPerPT)
	if one.CapMM() >= keyCapMM-1e-6 {
		return []string{text}, one
	}
	least := st.Sized(keyCapMM / capPerPT)
	return least.Wrap(text, r.W), least
}

// writeSmall writes the small lines, closer where there is little room.
func (l LabelSheet) writeSmall(s *drawing.Sheet, r drawing.Rect, it label) error {
	st := drawing.TextStyle{Ink: drawing.Black, SizePT: math.Min(linePTMax, math.Max(linePT, r.H/float64(len(it.lines))*0.6/drawing.MMPerPT))}
	pitch := math.Min(st.LineMM(), r.H/float64(len(it.lines)))
	st = st.Sized(math.Min(st.SizePT, pitch/drawing.MMPerPT/1.1))
	if st.SizePT < leastLinePT {
		return l.tooSmall(it, "its small lines could not be read")
	}
	y := r.Y + (r.H-pitch*float64(len(it.lines)))*0.5
	for i, line := range it.lines {
		y += pitch
		one := st
		if i == 0 && it.ends { // what tells the two labels of a run apart
			one = st.Sized(st.SizePT * 1.2).Bold()
		}
		one = one.Shrink(line, r.W, leastLinePT-1)
		s.Text(drawing.Point{X: r.X, Y: y - pitch*0.2}, one.Fit(line, r.W), one)
	}
	return nil
}

// fitted is the style at the largest size up to maxPT at which the text is no
// wider than w.
func fitted(st drawing.TextStyle, text string, w, maxPT float64) drawing.TextStyle {
	st = st.Sized(maxPT)
	if have := st.WidthMM(text); have > w {
		st.SizePT *= w / have
	}
	return st
}

func (l LabelSheet) tooSmall(it label, why string) error {
	return input.Fault{
		What:   fmt.Sprintf("labels of size %s are too small for %q: %s", l.Name, it.key, why),
		Remedy: "use a larger size, such as --labels 99.1x67.7",
	}
}
