package ground

// Strip is ground that one event left short of its product.
type Strip struct {
	Event    int
	AreaM2   float64       // on the ellipsoid, without what another pass sowed
	SweptM2  float64       // with it
	Polygons [][]Ring      // longitude, latitude: the outer ring of each first, counter-clockwise, then its holes
	Local    [][]LocalRing // the same, east and north in metres on the trail's plane
}

// Ring is a closed ring of longitude and latitude, degrees.
type Ring = [][2]float64

// LocalRing is a closed ring of metres east and north.
type LocalRing = [][2]float64

// bareness measures spells one after the other, each without what the ones
// before had.
type bareness struct {
	f       *Field
	sown    *cells
	earlier *cells
	cover   coverer
	shapes  []shape
	near    []*shape
	others  []*shape
}

// strip is the ground of an event, and what of it no earlier event of the
// product had left short already.
func (b *bareness) strip(sp Spell, owner int) (Strip, float64) {
	out := Strip{Event: sp.Event}
	once := 0.0
	for _, piece := range b.f.pieces(sp) {
		b.shapes = piece.shapes(b.f, b.shapes[:0], owner)
		covered := false
		var over []*shape
		for i := range b.shapes {
			s := &b.shapes[i]
			k := b.f.perPlaneM2(s)
			others := b.passes(s)
			sown, _ := b.cover.measure(s, others)
			for j, used := range b.cover.used {
				if used && sown > 0 {
					over, covered = append(over, others[j]), true
				}
			}
			out.SweptM2 += k * s.areaM2()
			out.AreaM2 += k * (s.areaM2() - sown)
			once += k * (s.areaM2() - b.taken(s, others))
		}
		for i := range b.shapes {
			b.earlier.put(b.shapes[i])
		}
		rings := [][]LocalRing{{piece.ring(b.f)}}
		if covered {
			rings = without(rings[0], over)
		}
		out.Local = append(out.Local, rings...)
	}
	for _, p := range out.Local {
		rings := make([]Ring, len(p))
		for i, r := range p {
			rings[i] = b.f.degrees(r)
		}
		out.Polygons = append(out.Polygons, rings)
	}
	return out, once
}

// idle is the ground of a spell that no other had.
func (b *bareness) idle(sp Spell, owner int) float64 {
	sum := 0.0
	for _, piece := range b.f.pieces(sp) {
		b.shapes = piece.shapes(b.f, b.shapes[:0], owner)
		for i := range b.shapes {
			s := &b.shapes[i]
			sum += b.f.perPlaneM2(s) * (s.areaM2() - b.taken(s, b.passes(s)))
		}
		for i := range b.shapes {
			b.earlier.put(b.shapes[i])
		}
	}
	return sum
}

// passes are the sown shapes near s of passes at another time. The list is good
// until the next call.
func (b *bareness) passes(s *shape) []*shape {
	b.near, b.others = b.sown.near(b.near[:0], s), b.others[:0]
	for _, o := range b.near {
		if o.ns1 <= s.ns0-apartNS || o.ns0 >= s.ns1+apartNS {
			b.others = append(b.others, o)
		}
	}
	return b.others
}

// taken is the area of s that others sowed or that earlier spells had.
func (b *bareness) taken(s *shape, others []*shape) float64 {
	all := others
	for _, o := range b.earlier.near(nil, s) {
		if o.owner != s.owner {
			c := *o
			c.owner = -1 - o.owner // not to be taken for a pass
			all = append(all[:len(all):len(all)], &c)
		}
	}
	area, _ := b.cover.measure(s, all)
	return area
}

// piece is a stretch of adjacent rows on one pass.
type piece struct {
	pass Pass
	span [2]int
}

// pieces are the rows and passes of a spell.
func (f *Field) pieces(sp Spell) []piece {
	var out []piece
	spans := stretches(sp.Rows)
	for _, pass := range between(f.passes, sp.FromNS, sp.ToNS) {
		for _, span := range spans {
			out = append(out, piece{pass, span})
		}
	}
	return out
}

func (p piece) shapes(f *Field, to []shape, owner int) []shape {
	forward := f.forwardM(p.span)
	for i := 0; i+1 < len(p.pass); i++ {
		to = f.strip(to, p.pass[i], p.pass[i+1], p.span, forward, owner)
	}
	return to
}

// ring goes forward along the right edge and back along the left one, and is
// closed: counter-clockwise (RFC 7946).
func (p piece) ring(f *Field) LocalRing {
	forward := f.forwardM(p.span)
	left, right := f.edges(p.span)
	n := len(p.pass)
	ring := make(LocalRing, 2*n+1)
	for i, pose := range p.pass {
		r, l := at(pose, forward, right), at(pose, forward, left)
		ring[i], ring[2*n-1-i] = [2]float64{r.east, r.north}, [2]float64{l.east, l.north}
	}
	ring[2*n] = ring[0]
	return ring
}

func (f *Field) degrees(ring LocalRing) Ring {
	out := make(Ring, len(ring))
	for i, p := range ring {
		lat, lon := f.plane.ToDegrees(p[1], p[0])
		out[i] = [2]float64{round9(lon), round9(lat)}
	}
	return out
}
