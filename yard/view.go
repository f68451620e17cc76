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
