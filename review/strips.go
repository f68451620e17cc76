package review

import (
	"math"
	"slices"

	"runproof/drill"
)

// Strip is ground that got no product, or too little, from one event: a ring
// of longitude, latitude for each unbroken piece.
type Strip struct {
	Event int
	Rings [][][2]float64
	Local [][][2]float64 // the same rings, east and north in metres from the first fix
}

// strip draws the event's ground: neighbouring rows are one polygon.
func (t *trail) strip(s *spell, rows []int) Strip {
	var out Strip
	half := t.in.fit.Drill.Rows.SpacingM / 2
	for _, part := range t.between(s.startNS, s.endNS) {
		for _, g := range neighbours(rows) {
			ring := t.ring(part, g[0], g[1], half)
			deg := make([][2]float64, len(ring))
			for i, p := range ring {
				lat, lon := t.plane.ToDegrees(p[1], p[0])
				deg[i] = [2]float64{round7(lon), round7(lat)}
			}
			out.Rings, out.Local = append(out.Rings, deg), append(out.Local, ring)
		}
	}
	return out
}

// ring goes forward along the left edge of row a and back along the right edge
// of row b, and is closed; counter-clockwise (RFC 7946).
func (t *trail) ring(part stretch, a, b int, half float64) [][2]float64 {
	d := &t.in.fit.Drill
	edge := func(row int, side float64) [][2]float64 {
		at := d.RowAt(row)
		at.Right += side
		pts := make([][2]float64, len(part))
		for i, p := range part {
			n, e := t.opener(p, at)
			pts[i] = [2]float64{e, n}
		}
		return pts
	}
	left, right := edge(a, -half), edge(b, half)
	slices.Reverse(left)
	ring := append(right, left...)
	return append(ring, ring[0])
}

// neighbours groups rows into stretches of adjacent ones, from the left.
func neighbours(rows []int) [][2]int {
	rows = slices.Clone(rows)
	slices.Sort(rows)
	return drill.RowList(rows).Stretches()
}

func round7(v float64) float64 { return math.Round(v*1e7) / 1e7 }

// cover answers whether another pass sowed a place: the swaths of all work, in
// cells.
type cover struct {
	t     *trail
	cells map[[2]int][]swath
}

type swath struct{ a, b trailPoint }

const coverCellM = 20

func (t *trail) newCover() *cover {
	c := &cover{t: t, cells: map[[2]int][]swath{}}
	reach := t.in.fit.Drill.WidthM()/2 + 15
	for _, s := range t.parts {
		for i := 0; i+1 < len(s); i++ {
			c.put(swath{s[i], s[i+1]}, reach)
		}
	}
	return c
}

func (c *cover) put(s swath, reach float64) {
	n0, n1 := min(s.a.north, s.b.north)-reach, max(s.a.north, s.b.north)+reach
	e0, e1 := min(s.a.east, s.b.east)-reach, max(s.a.east, s.b.east)+reach
	for n := int(math.Floor(n0 / coverCellM)); n <= int(math.Floor(n1/coverCellM)); n++ {
		for e := int(math.Floor(e0 / coverCellM)); e <= int(math.Floor(e1/coverCellM)); e++ {
			c.cells[[2]int{n, e}] = append(c.cells[[2]int{n, e}], s)
		}
	}
}

// sownByOther says whether a pass at another time (more than 20 s apart) went
// over the place with its openers.
func (c *cover) sownByOther(north, east float64, ns int64) bool {
	key := [2]int{int(math.Floor(north / coverCellM)), int(math.Floor(east / coverCellM))}
	for _, s := range c.cells[key] {
		if s.b.ns > ns-20e9 && s.a.ns < ns+20e9 {
			continue
		}
		if c.t.under(s, north, east) {
			return true
		}
	}
	return false
}

// under says whether the place lies in the ground that the row of openers swept
// between the two points of the swath.
func (t *trail) under(s swath, north, east float64) bool {
	d := &t.in.fit.Drill
	middle := drill.Point{}
	if r := d.Rows.RanksM; len(r) > 0 {
		middle.Forward = (slices.Min(r) + slices.Max(r)) / 2
	}
	an, ae := t.opener(s.a, middle)
	bn, be := t.opener(s.b, middle)
	l := math.Hypot(bn-an, be-ae)
	if l == 0 {
		return false
	}
	along := ((north-an)*(bn-an) + (east-ae)*(be-ae)) / l
	aside := ((east-ae)*(bn-an) - (north-an)*(be-ae)) / l
	return along >= 0 && along <= l && math.Abs(aside) <= d.WidthM()/2
}

// bareShare is the part of the event's ground that no other pass sowed, from
// points every half metre along each row.
func (c *cover) bareShare(s *spell, rows []int) float64 {
	all, bare := 0, 0
	for _, part := range c.t.between(s.startNS, s.endNS) {
		for i := 0; i+1 < len(part); i++ {
			steps := int(math.Hypot(part[i+1].north-part[i].north, part[i+1].east-part[i].east)/0.5) + 1
			for k := range steps {
				w := (float64(k) + 0.5) / float64(steps)
				p := blend(part[i], part[i+1], part[i].ns+int64(w*float64(part[i+1].ns-part[i].ns)))
				for _, row := range rows {
					n, e := c.t.opener(p, c.t.in.fit.Drill.RowAt(row))
					all++
					if !c.sownByOther(n, e, p.ns) {
						bare++
					}
				}
			}
		}
	}
	if all == 0 {
		return 1
	}
	return float64(bare) / float64(all)
}
