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

// quiet is what a port counts without a reaction, and the part of the negative
// binomial law that no reaction changes.
type quiet struct {
	phi  float64
	mean []float64 // 0 where nothing can be said
	log  []float64 // ln(1 + phi mean)
}

func (t *tracker) quiet(p int, s shape) quiet {
	q := quiet{t.phi(p, s), make([]float64, t.g.n), make([]float64, t.g.n)}
	for i := range q.mean {
		q.mean[i] = t.usual(p, i, s)
		q.log[i] = math.Log(1 + q.phi*q.mean[i])
	}
	return q
}

func (t *tracker) bins(p int, s shape, q quiet, strength float64) bins {
	n := t.g.n
	b := bins{sum: make([]float64, n+1), part: make([][]float64, t.parts)}
	for k := 1; k <= t.parts; k++ {
		v := t.covers(p, s, q, strength, float64(k)/float64(t.parts))
		if k < t.parts {
			b.part[k] = append(v, 0)
			continue
		}
		for i, ll := range v {
			b.sum[i+1] = b.sum[i] + ll
		}
	}
	return b
}

// covers is bin for every bin of a port. It is shape.bin with what is common
// to all bins or all strengths taken out of the loop.
func (t *tracker) covers(p int, s shape, q quiet, strength, cover float64) []float64 {
	out := make([]float64, t.g.n)
	x, e := t.g.x[p], t.g.e[p]
	size := 1 / q.phi
	logRatio := math.Log(s.mean(1, 0, strength, cover)) // of a pinch, whatever the mean
	for i, m := range q.mean {
		if m == 0 {
			continue
		}
		m1 := s.mean(m, float64(e[i]), strength, cover)
		if s.tap {
			logRatio = math.Log(m1 / m)
		}
		xi := float64(x[i])
		out[i] = s.cut(xi*logRatio - (xi+size)*(math.Log(1+q.phi*m1)-q.log[i]))
	}
	return out
}

func (t *tracker) phi(p int, s shape) float64 {
	if s.tap {
		return min(t.ex[p].phi, tapPhi)
	}
	return t.ex[p].phi
}

// usual is what the port should count in the bin without a reaction; 0 where
// nothing can be said.
func (t *tracker) usual(p, i int, s shape) float64 {
	m := float64(t.ex[p].mean[i])
	if e := float64(t.g.e[p][i]); s.tap && e > 0 && (m > 0 || t.still) {
		return max(m, quietTapRate*e) + t.felt(p, i)
	}
	return m
}

func (t *tracker) bin(p, i int, s shape, strength, cover float64) float64 {
	m := t.usual(p, i, s)
	if m == 0 {
		return 0
	}
	return s.bin(float64(t.g.x[p][i]), m, s.mean(m, float64(t.g.e[p][i]), strength, cover), t.phi(p, s))
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
	layers, q := make([]bins, len(s.strength)), t.quiet(p, s)
	for r, v := range s.strength {
		layers[r] = t.bins(p, s, q, v)
	}
	best := t.best(s, layers)
	for a, v := range best {
		if v >= notWorthASum {
			v = t.start(a, s, layers, v)
		}
		out[a] = float32(v)
	}
	return out
}

// notWorthASum is the evidence below which it hardly matters how small it is:
// the likeliest strength and length then stand for all.
const notWorthASum = -1

// best is, for each start, the evidence of the likeliest strength and length.
// Almost every start of a recording ends here, so whole bins take a path of
// their own, over columns.
func (t *tracker) best(s shape, layers []bins) []float64 {
	n := t.steps()
	out := make([]float64, n)
	for a := range out {
		out[a] = math.Inf(-1)
	}
	for r, b := range layers {
		for j, l := range s.length {
			w := s.logW[r][j]
			if t.parts > 1 {
				for a := range out {
					out[a] = max(out[a], b.over(a, min(a+l, n), t.parts)+w)
				}
				continue
			}
			whole := max(0, n-l)
			from, to := b.sum[:whole], b.sum[n-whole:n] // to[a] is the sum up to a+l
			for a, v := range from {
				if u := to[a] - v + w; u > out[a] {
					out[a] = u
				}
			}
			for a := whole; a < n; a++ {
				out[a] = max(out[a], b.sum[n]-b.sum[a]+w)
			}
		}
	}
	return out
}

// start is the evidence of a reaction that starts at step a, averaged over
// strengths and lengths, of which the likeliest has the evidence best.
func (t *tracker) start(a int, s shape, layers []bins, best float64) float64 {
	var sum float64
	for r, b := range layers {
		for j, l := range s.length {
			if v := b.over(a, min(a+l, t.steps()), t.parts) + s.logW[r][j]; v > best-12 {
				sum += math.Exp(v - best)
			}
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
