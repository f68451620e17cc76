package drawing

import (
	"math"
	"strconv"
)

// View maps metres on the ground to a sheet at a drafting scale: right (or
// east) to the right, forward (or north) up. The zero value maps everything to the sheet's corner.
type View struct {
	MMPerM float64 // scale: 20 means 1:50
	Origin Point   // where (0, 0) lies on the sheet
}

// At returns the place on the sheet of a point in metres.
func (v View) At(rightM, forwardM float64) Point {
	return Point{v.Origin.X + rightM*v.MMPerM, v.Origin.Y - forwardM*v.MMPerM}
}

// Scale returns the scale as a drawing states it: "1:50".
func (v View) Scale() string {
	if v.MMPerM <= 0 {
		return "not to scale"
	}
	return "1:" + strconv.FormatFloat(math.Round(1e5/v.MMPerM)/100, 'f', -1, 64)
}

// Extent is a range on the ground [m]. The zero value is the origin alone.
type Extent struct{ Left, Back, Right, Front float64 }

// Include returns the extent widened to hold a point.
func (e Extent) Include(rightM, forwardM float64) Extent {
	return Extent{
		math.Min(e.Left, rightM), math.Min(e.Back, forwardM),
		math.Max(e.Right, rightM), math.Max(e.Front, forwardM),
	}
}

// Grow returns the extent widened by d [m] on every side.
func (e Extent) Grow(d float64) Extent {
	return Extent{e.Left - d, e.Back - d, e.Right + d, e.Front + d}
}

// WidthM and DepthM are the sides.
func (e Extent) WidthM() float64 { return e.Right - e.Left }
func (e Extent) DepthM() float64 { return e.Front - e.Back } // fore and aft

// FitView returns the view with the largest drafting scale (at most 1:10) that
// shows an extent within r, centred. Drafting scales are 1, 1.25, 1.5, 2, 2.5,
// 3, 4, 5, 6 and 7.5 times a power of ten.
func FitView(e Extent, r Rect) View {
	want := math.Min(r.W/math.Max(e.WidthM(), 1e-6), r.H/math.Max(e.DepthM(), 1e-6)) // mm per m
	n := 10.0
	if want > 0 {
		n = draftingScale(1000 / want)
	}
	return CentredView(e, r, 1000/n)
}

// CentredView returns the view of a given scale with the extent's middle in the middle of r.
func CentredView(e Extent, r Rect, mmPerM float64) View {
	c := r.Centre()
	return View{MMPerM: mmPerM, Origin: Point{c.X - (e.Left+e.Right)/2*mmPerM, c.Y + (e.Back+e.Front)/2*mmPerM}}
}

// draftingScale returns the least usual denominator that is at least n.
func draftingScale(n float64) float64 {
	for p := 10.0; ; p *= 10 {
		for _, m := range []float64{1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5} {
			if m*p >= n*(1-1e-9) || p > 1e12 {
				return m * p
			}
		}
	}
}
