package walk

import (
	"math"
	"slices"
)

const (
	blockS    = 2.0  // counts are averaged over blocks this long to find levels
	knotS     = 8.0  // a port's level is found anew every so often
	levelS    = 40.0 // from the blocks up to this far either side
	trim      = 0.2  // part of the blocks left out at either end: pinches, releases
	headS     = 1.0  // half width over which a head is compared with its product, s
	headPrior = 20.0 // counts that say "the head does what its product does"
	flowOn    = 0.4  // flow below this part of the usual is no flow to pinch
	leastRate = 3.0  // particles/s per port, below which nothing flows
)

// flow is what the ports count while nobody touches them: each port's level,
// times what all ports of its product do together (pulsing, rate, fan), times
// what its head does besides. Each factor is taken from the other ports only,
// so a pinched run is compared with runs that go on.
type flow struct {
	g      *grid
	seat   []seat
	level  [][]float32 // per port and knot: counts/s when the product's factor is 1
	knot   int         // bins per knot
	teams  []team      // per product
	heads  []team      // per head
	still  bool        // nothing flows: no common factor
	smooth []int       // per product: half width of its factor's window, bins
	usual  []float64   // per product: the factor while product flows
}

// team is a set of ports that move together: running sums over bins of what
// they counted and of what their levels alone predict.
type team struct{ count, expect []float64 }

func newTeam(n int) team { return team{make([]float64, n+1), make([]float64, n+1)} }

func (t team) over(lo, hi int) (count, expect float64) {
	return t.count[hi] - t.count[lo], t.expect[hi] - t.expect[lo]
}

func (t team) close() {
	for i := 1; i < len(t.count); i++ {
		t.count[i] += t.count[i-1]
		t.expect[i] += t.expect[i-1]
	}
}

// newFlow finds levels and common factors in three passes: whole-log means,
// then the product whose pattern of flow each port follows (a port moved to
// the other product must not be judged by its planned one), then local levels.
func newFlow(g *grid, seat []seat, products int) *flow {
	f := &flow{g: g, seat: slices.Clone(seat), knot: max(1, int(math.Round(knotS/g.binS)))}
	f.level = make([][]float32, len(g.ports))
	for p := range f.level {
		f.level[p] = f.flat(f.mean(p))
	}
	f.gather(products)
	f.still = f.nothingFlows()
	if f.reseat(products) {
		f.gather(products)
	}
	for p := range f.level {
		f.level[p] = f.local(p)
	}
	f.gather(products)
	return f
}

func (f *flow) knots() int { return f.g.n/f.knot + 2 }

func (f *flow) flat(v float64) []float32 {
	l := make([]float32, f.knots())
	for i := range l {
		l[i] = float32(v)
	}
	return l
}

// at is the port's level in a bin, between knots by a straight line.
func (f *flow) at(p, bin int) float64 {
	k := bin / f.knot
	w := float64(bin-k*f.knot) / float64(f.knot)
	return float64(f.level[p][k])*(1-w) + float64(f.level[p][k+1])*w
}

func (f *flow) mean(p int) float64 {
	var x, e float64
	for i := range f.g.n {
		x += float64(f.g.x[p][i])
		e += float64(f.g.e[p][i])
	}
	if e == 0 {
		return 0
	}
	return x / e
}

// gather forms the teams of products and heads from the present levels.
func (f *flow) gather(products int) {
	heads := 0
	for _, s := range f.seat {
		heads = max(heads, s.head+1)
	}
	f.teams, f.heads = makeTeams(products, f.g.n), makeTeams(heads, f.g.n)
	for p, s := range f.seat {
		f.join(f.teams, s.product, p)
		f.join(f.heads, s.head, p)
	}
	closeTeams(f.teams)
	closeTeams(f.heads)
	f.smooth, f.usual = make([]int, products), make([]float64, products)
	for t := range f.teams {
		f.smooth[t] = f.window(f.teams[t])
		f.usual[t] = f.usually(t)
	}
}

func makeTeams(k, n int) []team {
	ts := make([]team, k)
	for i := range ts {
		ts[i] = newTeam(n)
	}
	return ts
}

func closeTeams(ts []team) {
	for _, t := range ts {
		t.close()
	}
}

func (f *flow) join(ts []team, t, p int) {
	if t < 0 {
		return
	}
	for i := range f.g.n {
		ts[t].count[i+1] += float64(f.g.x[p][i])
		ts[t].expect[i+1] += f.at(p, i) * float64(f.g.e[p][i])
	}
}

// window is the half width, in bins, that gives the team's factor some 60
// counts, up to a second.
func (f *flow) window(t team) int {
	perBin := t.count[f.g.n] / float64(f.g.n)
	if perBin <= 0 {
		return 0
	}
	h := math.Ceil((60/perBin - 1) / 2)
	return int(min(max(h, 0), math.Round(1/f.g.binS)))
}

// usually is the product's factor over half a second, 95 % quantile: what it
// is while the product flows, even if it flows only a small part of the time.
func (f *flow) usually(t int) float64 {
	h := max(1, int(0.5/f.g.binS))
	v := make([]float64, 0, f.g.n/h+1)
	for i := 0; i+h <= f.g.n; i += h {
		if c, e := f.teams[t].over(i, i+h); e > 0 {
			v = append(v, c/e)
		}
	}
	return quantile(v, 0.95)
}

// A port in the flow counts at least leastRate in most of some stretch of
// blocks, and not just a faint echo of its own strongest burst.
const (
	stretch     = 8
	stretchFlow = 5
	echo        = 0.15
)

// nothingFlows says that the typical port counts in bursts at most, as in a
// walk by tapping with the fan off.
func (f *flow) nothingFlows() bool {
	busy := make([]float64, len(f.g.ports))
	parallel(len(busy), func(p int) { busy[p] = mostInStretch(f.rates(p)) })
	return quantile(busy, 0.4) < stretchFlow
}

// rates are the port's counts/s block by block.
func (f *flow) rates(p int) []float64 {
	var out []float64
	for i, b := 0, f.perBlock(); i < f.g.n; i += b {
		var x, e float64
		for j := i; j < min(i+b, f.g.n); j++ {
			x += float64(f.g.x[p][j])
			e += float64(f.g.e[p][j])
		}
		if e > 0 {
			out = append(out, x/e)
		}
	}
	return out
}

// mostInStretch is the largest number of busy blocks in any stretch.
func mostInStretch(rates []float64) float64 {
	if len(rates) == 0 {
		return 0
	}
	least := max(leastRate, echo*slices.Max(rates))
	most, now := 0, 0
	for i, r := range rates {
		if r >= least {
			now++
		}
		if i >= stretch && rates[i-stretch] >= least {
			now--
		}
		most = max(most, now)
	}
	return float64(most)
}

func (f *flow) perBlock() int { return max(1, int(math.Round(blockS/f.g.binS))) }

func (f *flow) block(p, lo, hi int) (rate float64, ok bool) {
	var x, e float64
	for i := lo; i < hi; i++ {
		x += float64(f.g.x[p][i])
		e += float64(f.g.e[p][i]) * f.factor(p, i)
	}
	if e < 0.4*float64(hi-lo)*f.g.binS*f.usualOf(p) || e <= 0 {
		return 0, false
	}
	return x / e, true
}

func (f *flow) usualOf(p int) float64 {
	if t := f.seat[p].product; t >= 0 && !f.still {
		return f.usual[t]
	}
	return 1
}

// factor is what the port's product does in the bin, the port itself included.
func (f *flow) factor(p, bin int) float64 {
	t := f.seat[p].product
	if t < 0 || f.still {
		return 1
	}
	h := f.smooth[t]
	c, e := f.teams[t].over(max(0, bin-h), min(f.g.n, bin+h+1))
	if e <= 0 {
		return 0
	}
	return c / e
}

// local is the port's level at every knot: the trimmed mean of the blocks
// around it, so that its own pinch does not count.
func (f *flow) local(p int) []float32 {
	b := f.perBlock()
	n := (f.g.n + b - 1) / b
	y := make([]float64, n)
	for j := range y {
		y[j] = math.NaN()
		if v, ok := f.block(p, j*b, min((j+1)*b, f.g.n)); ok {
			y[j] = v
		}
	}
	whole := trimmed(y)
	reach := int(levelS / blockS)
	l := make([]float32, f.knots())
	for k := range l {
		j := k * f.knot / b
		near := y[min(max(0, j-reach), n):min(n, j+reach+1)]
		l[k] = float32(whole)
		if present(near) >= reach/2 {
			l[k] = float32(trimmed(near))
		}
	}
	return l
}

func present(y []float64) int {
	n := 0
	for _, v := range y {
		if !math.IsNaN(v) {
			n++
		}
	}
	return n
}

// trimmed is the mean of the numbers without the trim parts at either end; NaN
// are left out; 0 for none.
func trimmed(y []float64) float64 {
	v := make([]float64, 0, len(y))
	for _, a := range y {
		if !math.IsNaN(a) {
			v = append(v, a)
		}
	}
	slices.Sort(v)
	cut := int(trim * float64(len(v)))
	v = v[cut : len(v)-cut]
	if len(v) == 0 {
		return 0
	}
	var s float64
	for _, a := range v {
		s += a
	}
	return s / float64(len(v))
}

// quantile is the q quantile of v (which it sorts); 0 for none.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[min(int(q*float64(len(v))), len(v)-1)]
}
