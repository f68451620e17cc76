package ground

import "slices"

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
	list    []*shape
}

// firstIdle is the owner of the first spell without an event; those of an event
// belong to the event's number, negative.
const firstIdle = -1 << 40

// strip adds the ground of a spell to that of its event, and returns what of it
// no earlier event of the product had left short already.
func (b *bareness) strip(out *Strip, sp Spell) float64 {
	once, owner := 0.0, -sp.Event
	for _, piece := range b.f.pieces(sp) {
		b.shapes = piece.shapes(b.f, b.shapes[:0], owner)
		var over []*shape
		for i := range b.shapes {
			s := &b.shapes[i]
			k := b.f.perPlaneM2(s)
			own, all := b.others(s)
			taken, _ := b.cover.measure(s, own)
			if taken > 0 {
				over = append(over, own...)
			}
			out.SweptM2 += k * s.areaM2()
			out.AreaM2 += k * (s.areaM2() - taken)
			if len(all) > len(own) {
				taken, _ = b.cover.measure(s, all)
			}
			once += k * (s.areaM2() - taken)
		}
		for i := range b.shapes {
			b.earlier.put(b.shapes[i])
		}
		rings := [][]LocalRing{{piece.ring(b.f)}}
		if len(over) > 0 {
			rings = without(rings[0], over)
		}
		out.Local = append(out.Local, rings...)
	}
	for _, p := range out.Local[len(out.Polygons):] {
		rings := make([]Ring, len(p))
		for i, r := range p {
			rings[i] = b.f.degrees(r)
		}
		out.Polygons = append(out.Polygons, rings)
	}
	return once
}

// idle is the ground of a spell that no other had.
func (b *bareness) idle(sp Spell, owner int) float64 {
	sum := 0.0
	for _, piece := range b.f.pieces(sp) {
		b.shapes = piece.shapes(b.f, b.shapes[:0], owner)
		for i := range b.shapes {
			s := &b.shapes[i]
			_, all := b.others(s)
			taken, _ := b.cover.measure(s, all)
			sum += b.f.perPlaneM2(s) * (s.areaM2() - taken)
		}
		for i := range b.shapes {
			b.earlier.put(b.shapes[i])
		}
	}
	return sum
}

// others are the shapes near s that what it covers does not count for: those that
// passes at another time sowed, and its own spell's of earlier passes; all also
// has those of earlier spells. The lists are good until the next call.
func (b *bareness) others(s *shape) (own, all []*shape) {
	b.list = b.sown.near(b.list[:0], s)
	b.list = slices.DeleteFunc(b.list, func(o *shape) bool { return !apart(o, s) })
	passes := len(b.list)
	b.list = b.earlier.near(b.list, s)
	rest := b.list[passes:]
	// its own first
	slices.SortStableFunc(rest, func(x, y *shape) int { return foreign(x, s) - foreign(y, s) })
	n := passes
	for _, o := range rest {
		if o.owner != s.owner {
			break
		}
		if apart(o, s) {
			b.list[n], n = o, n+1
		}
	}
	own = b.list[:n]
	all = own
	for _, o := range rest {
		if o.owner != s.owner {
			all = append(all[:len(all):len(all)], o)
		}
	}
	return own, all
}

func foreign(o, s *shape) int {
	if o.owner == s.owner {
		return 0
	}
	return 1
}

// apart says that one of two shapes belongs to another pass than the other.
func apart(o, s *shape) bool { return o.ns1 <= s.ns0-apartNS || o.ns0 >= s.ns1+apartNS }

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
