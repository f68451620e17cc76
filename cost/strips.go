package cost

import (
	"cmp"
	"math"
	"slices"

	"runproof/track"
)

// place is metres on a local plane.
type place struct{ north, east float64 }

func (p place) plus(q place, by float64) place {
	return place{p.north + by*q.north, p.east + by*q.east}
}
func dot(p, q place) float64 { return p.north*q.north + p.east*q.east }

// polygon is one piece of a strip.
type polygon struct {
	strip int // index of the short spell that it belongs to
	edges [][2]place
	area  float64
}

// ground finds what lies across a place: all strips' edges, by cells.
type ground struct {
	polygons []polygon
	cells    map[[2]int][][2]int // polygon and edge
}

const cellM = 20

// layGround puts the strips on one plane; strips holds one skip for each spell.
func layGround(strips []*Skip) *ground {
	g := &ground{cells: map[[2]int][][2]int{}}
	var plane track.Plane
	begun := false
	for i, s := range strips {
		if s == nil {
			continue
		}
		for _, rings := range s.Polygons {
			p := polygon{strip: i}
			for _, ring := range rings {
				if !begun && len(ring) > 0 {
					plane, begun = track.At(ring[0][1], ring[0][0]), true
				}
				p.ring(plane, ring)
			}
			if p.area = math.Abs(p.area); p.area > 0 {
				g.put(p)
			}
		}
	}
	return g
}

// ring adds a ring's edges and area: holes go round the other way (RFC 7946,
// 3.1.6).
func (p *polygon) ring(plane track.Plane, ring Ring) {
	var prev place
	for i, c := range ring {
		n, e := plane.ToLocal(c[1], c[0])
		at := place{n, e}
		if i > 0 && at != prev {
			p.edges = append(p.edges, [2]place{prev, at})
			o := p.edges[0][0]
			p.area += ((prev.east-o.east)*(at.north-o.north) - (at.east-o.east)*(prev.north-o.north)) / 2
		}
		prev = at
	}
}

func (g *ground) put(p polygon) {
	at := len(g.polygons)
	g.polygons = append(g.polygons, p)
	for i, e := range p.edges {
		for _, c := range cellsOf(e[0], e[1]) {
			g.cells[c] = append(g.cells[c], [2]int{at, i})
		}
	}
}

// cellsOf are the cells that the box over two places touches; of a line longer
// than a field, which no strip has, those at its ends.
func cellsOf(a, b place) [][2]int {
	n0, n1 := cellAt(min(a.north, b.north)), cellAt(max(a.north, b.north))
	e0, e1 := cellAt(min(a.east, b.east)), cellAt(max(a.east, b.east))
	if n1-n0 > 500 || e1-e0 > 500 {
		return [][2]int{{n0, e0}, {n1, e1}}
	}
	out := make([][2]int, 0, (n1-n0+1)*(e1-e0+1))
	for n := n0; n <= n1; n++ {
		for e := e0; e <= e1; e++ {
			out = append(out, [2]int{n, e})
		}
	}
	return out
}

func cellAt(m float64) int { return int(math.Floor(m / cellM)) }

// stretch is where a line lies over a polygon, from its middle, m.
type stretch struct {
	polygon  int
	from, to float64
}

// across are the stretches that the line through at, halfM to each side along
// the unit vector dir, has over polygons, by where they begin.
func (g *ground) across(at, dir place, halfM float64) []stretch {
	start := at.plus(dir, -halfM)
	cuts := map[int][]float64{}
	seen := map[[2]int]bool{}
	for _, c := range cellsOf(start, at.plus(dir, halfM)) {
		for _, ref := range g.cells[c] {
			if seen[ref] {
				continue
			}
			seen[ref] = true
			if t, ok := crossing(g.polygons[ref[0]].edges[ref[1]], at, dir); ok && math.Abs(t) <= halfM {
				cuts[ref[0]] = append(cuts[ref[0]], t)
			}
		}
	}
	var out []stretch
	for p, ts := range cuts {
		slices.Sort(ts)
		if len(ts)%2 == 1 { // the line ends inside
			if g.polygons[p].holds(start) {
				ts = slices.Insert(ts, 0, -halfM)
			} else {
				ts = append(ts, halfM)
			}
		}
		for i := 0; i+1 < len(ts); i += 2 {
			out = append(out, stretch{p, ts[i], ts[i+1]})
		}
	}
	slices.SortFunc(out, func(a, b stretch) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.polygon, b.polygon))
	})
	return out
}

// crossing is where the edge crosses the line through at along dir; an end that
// lies on the line belongs to one side of it, so that no corner counts twice.
func crossing(e [2]place, at, dir place) (t float64, ok bool) {
	a, b := e[0].plus(at, -1), e[1].plus(at, -1)
	side := place{-dir.east, dir.north}
	da, db := dot(a, side), dot(b, side)
	if (da < 0) == (db < 0) {
		return 0, false
	}
	w := da / (da - db)
	return dot(a, dir)*(1-w) + dot(b, dir)*w, true
}

// holds says whether the place lies in the polygon (even-odd rule).
func (p polygon) holds(at place) bool {
	in := false
	for _, e := range p.edges {
		if t, ok := crossing(e, at, place{1, 0}); ok && t > 0 {
			in = !in
		}
	}
	return in
}
