package export

import (
	"math"

	"runproof/measure"
	"runproof/track"
)

// thin leaves out places that lie within tightM of the line without them (Douglas
// and Peucker 1973).
func thin(path []fix) Line {
	plane := track.At(path[0].at[1], path[0].at[0])
	local := make([][2]float64, len(path))
	for i, p := range path {
		local[i][1], local[i][0] = plane.ToLocal(p.at[1], p.at[0])
	}
	keep := make([]bool, len(path))
	keep[0], keep[len(path)-1] = true, true
	for open := [][2]int{{0, len(path) - 1}}; len(open) > 0; {
		a, b := open[len(open)-1][0], open[len(open)-1][1]
		open = open[:len(open)-1]
		far, most := 0, tightM
		for i := a + 1; i < b; i++ {
			if d := offSegment(local[i], local[a], local[b]); d > most {
				far, most = i, d
			}
		}
		if far > 0 {
			keep[far] = true
			open = append(open, [2]int{a, far}, [2]int{far, b})
		}
	}
	var line Line
	for i, p := range path {
		if keep[i] {
			line = append(line, Position{round7(p.at[0]), round7(p.at[1])})
		}
	}
	return line
}

// offSegment is how far p is from the stretch between a and b.
func offSegment(p, a, b [2]float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l2 := dx*dx + dy*dy; l2 > 0 {
		t = min(1, max(0, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/l2))
	}
	return math.Hypot(p[0]-a[0]-t*dx, p[1]-a[1]-t*dy)
}

// cutLine cuts a line where it crosses the 180th meridian (RFC 7946, 3.1.9).
func cutLine(l Line) []Line {
	out := []Line{{l[0]}}
	for i := 1; i < len(l); i++ {
		from, to := l[i-1], l[i]
		if math.Abs(to[0]-from[0]) > 180 {
			edge := math.Copysign(180, from[0])
			w := (edge - from[0]) / (near(to[0], from[0]) - from[0])
			lat := round7(from[1] + w*(to[1]-from[1]))
			out[len(out)-1] = append(out[len(out)-1], Position{edge, lat})
			out = append(out, Line{{-edge, lat}})
		}
		out[len(out)-1] = append(out[len(out)-1], to)
	}
	return out
}

// trackFields are the columns of the track.
var trackFields = []Field{
	{"pass", "pass", Whole, 0, "number of the pass, in the order driven"},
	{"start", "start", Text, 0, "when it began, in the recording's form of time"},
	{"end", "end", Text, 0, "when it ended"},
	{"metres", "metres", Decimal, 1, "its length, m"},
}

// Track is the layer of passes, as the antenna went; see Follow.
func (d *Day) Track() Layer {
	l := Layer{Name: "track", Title: "Where the drill worked, as the antenna went", Geometry: MultiLineString, Fields: trackFields}
	for i, p := range d.Passes {
		l.Features = append(l.Features, Feature{Lines: p.Lines, Cells: []any{int64(i + 1), p.Start, p.End, measure.Round(p.Metres, 1)}})
	}
	return l
}
