package simulate

import (
	"math"

	"runproof/drill"
)

// trace is where the drill was in the ground: the middle of its front rank, by
// seconds; first marks where it was lowered.
type trace []stop

type stop struct {
	t     float64
	at    pose
	first bool
}

// What is left out between two stops of a trace.
const (
	traceM   = 1.5
	traceRad = 1 * math.Pi / 180
	traceS   = 2.0
)

func (tr *trace) add(s stop, last bool) {
	if n := len(*tr); n > 0 && !s.first && !last {
		p := (*tr)[n-1]
		if math.Hypot(s.at.forward-p.at.forward, s.at.right-p.at.right) < traceM && math.Abs(s.at.heading-p.at.heading) < traceRad && s.t-p.t < traceS {
			return
		}
	}
	*tr = append(*tr, s)
}

// leg is the way from one stop to the next, or a part of it.
type leg struct{ a, b stop }

// legs are the parts of the trace from one time to another.
func (tr trace) legs(from, to float64) []leg {
	var out []leg
	for i := 1; i < len(tr); i++ {
		a, b := tr[i-1], tr[i]
		if !b.first && b.t > from && a.t < to {
			out = append(out, leg{between(a, b, from), between(a, b, to)})
		}
	}
	return out
}

func between(a, b stop, t float64) stop {
	w := max(0, min(1, (t-a.t)/max(b.t-a.t, 1e-9)))
	mix := func(p, q float64) float64 { return p + w*(q-p) }
	return stop{mix(a.t, b.t), pose{mix(a.at.forward, b.at.forward), mix(a.at.right, b.at.right), mix(a.at.heading, b.at.heading)}, false}
}

// raster is ground in squares of bareM, turned so that no drill goes along them:
// a place belongs to a piece of ground when the middle of its square does.
type raster struct {
	x0, y0, nx, ny int
	bits           []uint64
}

const (
	bareM   = 0.05
	rasterA = 0.35 // radians that it is turned by
)

// corner of a piece of ground, in squares.
type corner struct{ x, y float64 }

// cornersOf is the ground between two points of the drill from the beginning of
// a leg to its end.
func cornersOf(l leg, forward, left, right float64) [4]corner {
	at := func(p pose, side float64) corner {
		sin, cos := math.Sincos(p.heading)
		f, r := p.forward+forward*cos-side*sin, p.right+forward*sin+side*cos
		s, c := math.Sincos(rasterA)
		return corner{(f*c - r*s) / bareM, (f*s + r*c) / bareM}
	}
	return [4]corner{at(l.a.at, left), at(l.a.at, right), at(l.b.at, right), at(l.b.at, left)}
}

func newRaster(pieces [][4]corner) *raster {
	if len(pieces) == 0 {
		return &raster{}
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range pieces {
		for _, c := range p {
			x0, y0, x1, y1 = min(x0, c.x), min(y0, c.y), max(x1, c.x), max(y1, c.y)
		}
	}
	r := &raster{x0: int(math.Floor(x0)), y0: int(math.Floor(y0))}
	r.nx, r.ny = int(math.Ceil(x1))-r.x0+1, int(math.Ceil(y1))-r.y0+1
	r.bits = make([]uint64, (r.nx*r.ny+63)/64)
	return r
}

// paint sets or clears the squares of a piece.
func (r *raster) paint(p [4]corner, set bool) {
	low, high := p[0].y, p[0].y
	for _, c := range p[1:] {
		low, high = min(low, c.y), max(high, c.y)
	}
	for y := max(r.y0, int(math.Floor(low))); y <= min(r.y0+r.ny-1, int(math.Floor(high))); y++ {
		from, to, ok := crossed(p, float64(y)+0.5)
		if !ok {
			continue
		}
		for x := max(r.x0, int(math.Ceil(from-0.5))); x <= min(r.x0+r.nx-1, int(math.Ceil(to-0.5))-1); x++ {
			i := (y-r.y0)*r.nx + x - r.x0
			if set {
				r.bits[i/64] |= 1 << (i % 64)
			} else {
				r.bits[i/64] &^= 1 << (i % 64)
			}
		}
	}
}

// crossed is where a line of squares crosses a piece.
func crossed(p [4]corner, y float64) (from, to float64, ok bool) {
	from, to = math.Inf(1), math.Inf(-1)
	for i, a := range p {
		b := p[(i+1)%4]
		if (a.y < y) == (b.y < y) {
			continue
		}
		x := a.x + (y-a.y)/(b.y-a.y)*(b.x-a.x)
		from, to = min(from, x), max(to, x)
	}
	return from, to, to > from
}

func (r *raster) areaM2() float64 {
	n := 0
	for _, w := range r.bits {
		for ; w != 0; w &= w - 1 {
			n++
		}
	}
	return float64(n) * bareM * bareM
}

// bareM2 is the ground that a fault left short of its product and no other pass
// went over: from where the openers of its runs were while it showed at the
// sensors, and as much longer as product takes from there to the ground. What
// starves a head or a product comes to the openers later by as much.
func (r *Recording) bareM2(ft *Fault) float64 {
	d, tr := &r.f.Drill, r.motion.trace
	var mine [][4]corner
	short := map[int][2]float64{} // by row, from and to
	var product drill.ProductID
	for _, h := range r.pipes.hoses {
		if _, sensed := r.f.PortOf(h.ID); !sensed || h.Closed || !ft.starves(h.Run) {
			continue
		}
		product = h.Product
		through := throughS(d, h.Head)
		from, to := ft.AtS, ft.AtS+ft.ForS+through
		if ft.Run == "" {
			from += through
		}
		short[h.Row] = [2]float64{from, to}
		for _, l := range tr.legs(from, to) {
			mine = append(mine, rowOf(d, l, h.Row))
		}
	}
	ground := newRaster(mine)
	for _, p := range mine {
		ground.paint(p, true)
	}
	for _, h := range r.pipes.hoses {
		if h.Product != product || h.Closed || len(mine) == 0 {
			continue
		}
		for _, on := range h.spells(throughS(d, h.Head), short[h.Row]) {
			for _, l := range tr.legs(on[0], on[1]) {
				ground.paint(rowOf(d, l, h.Row), false)
			}
		}
	}
	return math.Round(100*ground.areaM2()) / 100
}

// throughS is the time from the sensors of a head's hoses to the openers.
func throughS(d *drill.Drill, head drill.HeadID) float64 {
	h, _ := d.Head(head)
	return max(0, h.HoseM-d.Sensing.SensorFromHeadM) / hoseMPS
}

// spells are the times in which product came out of the hose, but for one span.
func (h *hose) spells(through float64, but [2]float64) [][2]float64 {
	var out [][2]float64
	put := func(a, b float64) {
		if b > a {
			out = append(out, [2]float64{a, b})
		}
	}
	for i := 0; i < len(h.turns); i += 2 { // on, off, on, ...
		from, to := h.turns[i]+through, math.Inf(1)
		if i+1 < len(h.turns) {
			to = h.turns[i+1] + through
		}
		if but[1] <= but[0] {
			put(from, to)
			continue
		}
		put(from, min(to, but[0]))
		put(max(from, but[1]), to)
	}
	return out
}

func rowOf(d *drill.Drill, l leg, row int) [4]corner {
	at := d.RowAt(row)
	return cornersOf(l, at.Forward, at.Right-d.Rows.SpacingM/2, at.Right+d.Rows.SpacingM/2)
}

// starves says whether the fault takes product from a run.
func (f *Fault) starves(r drill.Run) bool {
	switch {
	case !f.Kind.LosesSeed():
		return false
	case f.Run != "":
		return f.Run == r.ID
	case f.Head != "":
		return f.Head == r.Head
	}
	return f.Product == r.Product
}
