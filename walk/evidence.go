package walk

import "math"

// track is, for one port, the evidence of a reaction that starts at each step
// of the recording: ln of the likelihood ratio "reacted" to "did not", averaged
// over the unknown strength and length.
type track []float32

// tracker makes tracks. A start step is a bin, or a part of one where bins are
// long.
type tracker struct {
	g     *grid
	ex    []expected
	still bool        // nothing flows
	frame [][]float32 // taps: what each port may feel of a tap elsewhere, counts
	parts int         // start steps per bin
	stepS float64
}

func newTracker(f *flow, ex []expected) *tracker {
	g := f.g
	t := &tracker{g: g, ex: ex, still: f.still, parts: 1}
	if g.binS > startStepMostS {
		t.parts = int(math.Round(g.binS / startStepAimS))
	}
	t.stepS = g.binS / float64(t.parts)
	return t
}

func (t *tracker) steps() int { return t.g.n * t.parts }

// step is the nearest start step to a time on the grid's axis.
func (t *tracker) step(s float64) int { return int(math.Round(s / t.stepS)) }

// all makes a track for each port.
func (t *tracker) all(s shape) []track {
	out := make([]track, len(t.ex))
	parallel(len(out), func(p int) { out[p] = t.track(p, s) })
	return out
}

// bins is the log likelihood ratio per bin at one strength: whole bins as
// running sums, and bins of which k parts are covered.
type bins struct {
	sum  []float64   // sum[i]: bins before i, wholly covered
	part [][]float64 // part[k][i], 1 <= k < parts
}

func (t *tracker) bins(p int, s shape, strength float64) bins {
	n := t.g.n
	b := bins{sum: make([]float64, n+1), part: make([][]float64, t.parts)}
	for k := 1; k < t.parts; k++ {
		b.part[k] = make([]float64, n+1)
	}
	for i := range n {
		b.sum[i+1] = b.sum[i] + t.bin(p, i, s, strength, 1)
		for k := 1; k < t.parts; k++ {
			b.part[k][i] = t.bin(p, i, s, strength, float64(k)/float64(t.parts))
		}
	}
	return b
}

func (t *tracker) bin(p, i int, s shape, strength, cover float64) float64 {
	m, e := float64(t.ex[p].mean[i]), float64(t.g.e[p][i])
	if s.tap && e > 0 && (m > 0 || t.still) {
		m = max(m, quietTapRate*e) + t.felt(p, i)
	}
	if m == 0 {
		return 0
	}
	phi := t.ex[p].phi
	if s.tap {
		phi = min(phi, tapPhi)
	}
	return s.bin(float64(t.g.x[p][i]), m, s.mean(m, e, strength, cover), phi)
}

// over is the log likelihood ratio of a reaction from step a to step z.
func (b bins) over(a, z, parts int) float64 {
	i, j := a/parts, z/parts
	fa, fz := a-i*parts, z-j*parts
	switch {
	case fa == 0 && fz == 0:
		return b.sum[j] - b.sum[i]
	case i == j:
		return b.part[fz-fa][i]
	}
	v := b.sum[j] - b.sum[i]
	if fa > 0 {
		v += b.part[parts-fa][i] - (b.sum[i+1] - b.sum[i])
	}
	if fz > 0 {
		v += b.part[fz][j]
	}
	return v
}

func (t *tracker) track(p int, s shape) track {
	out := make(track, t.steps())
	if t.ex[p].dead && !s.tap {
		return out
	}
	layers := make([]bins, len(s.strength))
	for r, v := range s.strength {
		layers[r] = t.bins(p, s, v)
	}
	v := make([]float64, len(s.strength)*len(s.length))
	for a := range out {
		out[a] = float32(t.start(a, s, layers, v))
	}
	return out
}

// start is the evidence of a reaction that starts at step a, averaged over
// strengths and lengths; v is scratch.
func (t *tracker) start(a int, s shape, layers []bins, v []float64) float64 {
	best, last := math.Inf(-1), t.steps()
	k := 0
	for r, b := range layers {
		for j, l := range s.length {
			z := min(a+l, last)
			v[k] = b.over(a, z, t.parts) + s.logW[r][j]
			best = max(best, v[k])
			k++
		}
	}
	if best < -1 { // hardly matters how small it is
		return best
	}
	var sum float64
	for _, u := range v {
		if u > best-12 {
			sum += math.Exp(u - best)
		}
	}
	return best + math.Log(sum)
}

// peak is the likeliest strength and length of a reaction of the port that
// starts at step a.
func (t *tracker) peak(p, a int, s shape) (strength float64, length int) {
	best := math.Inf(-1)
	for r, v := range s.strength {
		for j, l := range s.length {
			if ll := t.span(p, a, min(a+l, t.steps()), s, v) + s.logW[r][j]; ll > best {
				best, strength, length = ll, v, l
			}
		}
	}
	return strength, length
}

// span is bins.over for one span, without the running sums.
func (t *tracker) span(p, a, z int, s shape, strength float64) float64 {
	var ll float64
	for i := a / t.parts; i*t.parts < z; i++ {
		lo, hi := max(a, i*t.parts), min(z, (i+1)*t.parts)
		ll += t.bin(p, i, s, strength, float64(hi-lo)/float64(t.parts))
	}
	return ll
}

// covered is the part of the steps from a to z in which the port could have
// been seen to react.
func (t *tracker) covered(p, a, z int) float64 {
	a, z = max(a, 0), min(z, t.steps())
	if z <= a {
		return 0
	}
	n := 0
	for k := a; k < z; k++ {
		i := k / t.parts
		if t.ex[p].mean[i] > 0 || (t.g.e[p][i] > 0 && t.ex[p].level == 0) {
			n++
		}
	}
	return float64(n) / float64(z-a)
}

func (t *tracker) felt(p, i int) float64 {
	if t.frame == nil {
		return 0
	}
	return float64(t.frame[p][i])
}
