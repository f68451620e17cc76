package yard

import (
	"runproof/drawing"
	"runproof/views"
)

// drawStaging draws the harness to scale, or the drill alone where no harness
// is planned, and returns the height used [mm].
func (p *page) drawStaging(s *drawing.Sheet, r drawing.Rect) float64 {
	if used := views.DrawHarness(s, r, p.f); used > 0 {
		return used
	}
	return views.DrawTop(s, r, p.f, views.UsualTop)
}

// drawSide draws the outfit from the side, with gateway, antenna and switch.
func (p *page) drawSide(s *drawing.Sheet, r drawing.Rect) float64 {
	return views.DrawSide(s, r, p.f)
}

// picture sets a drawing that returns the height it used [mm]: on this page
// where it is not much smaller for it, or else on the next.
func (p *page) picture(draw func(*drawing.Sheet, drawing.Rect) float64) {
	whole := drawing.Rect{W: p.Width(), H: p.PageRoom()}
	wants := draw(drawing.NewSheet(drawing.Size{WMM: whole.W, HMM: whole.H}), whole)
	s, r := p.Rest(min(0.75*whole.H, wants))
	p.GiveBack(r.H - min(r.H, draw(s, r)))
	p.Space(2)
}
