package walk

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// yard is a made-up walk with known truth. It is written for these tests
// alone, from the physics in the doc comments of this package, and draws most
// of its figures at random: see draw.
type yard struct {
	heads    []int   // runs per head
	products int     // heads are dealt to them in turn
	perNode  int     // ports per node
	dtS      float64 // sample interval
	jitterDT float64 // part by which it wavers
	rateHz   float64 // particles/s of a usual run
	disp     float64 // variance = mu + disp mu^2
	gainSD   float64
	noise    float64 // of rateHz, counted whatever flows
	pulseA   float64
	pulseHz  float64
	driftSD  float64
	leak     float64 // part of the flow that a pinch lets by
	fallS    float64
	pinchS   [2]float64
	gapS     [2]float64 // from the end of one pinch to the start of the next
	tap      bool
	tapHz    float64
	crosstak float64
	flowTap  bool // product flows during taps
	marked   bool
	middle   bool // marks are put at the middle of the pinch
	markErrS float64
	offsetS  float64
	shuffled bool
	lost     float64 // part of the lines lost
	carried  bool    // the next line carries the counts of a lost one
	dropped  float64 // part of a node's samples not reported
	clock    flowlog.Clock

	place    []int                  // port column of each run's sensor, -1: nowhere
	closed   []int                  // runs shut on purpose
	dead     map[int]string         // by column: "zero", "null", "hum"
	joined   [2]int                 // runs that share two ports by half; equal: none
	unmarked map[int]bool           // runs pinched with no mark
	unwalked map[int]bool           // runs not pinched
	stops    [][2]float64           // all flow stops, s
	headOff  map[int][2]float64     // a head's flow stops
	steps    map[float64]float64    // from this time on, the rate is times this
	mute     map[string][2]float64  // node not reported
	order    func(runs []int) []int // order of the walk, if not the plan's
	noteAs   map[int]int            // run k is marked as run noteAs[k]
	again    int                    // every so many marks are pressed twice, 0.9 s apart
	at       []float64              // starts of the pinches, if not drawn
	extra    func(l *flowlog.Log)   // what else happens to the log
}

// truth is what really happened to one run.
type truth struct {
	verdict Verdict
	found   fit.PortRef
	accept  []Verdict // right as well
}

// fit is the document the yard was planned with.
func (y *yard) fit() *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1}
	row := 0
	for p := range y.products {
		f.Drill.Products = append(f.Drill.Products, drill.Product{ID: drill.ProductID(fmt.Sprintf("p%d", p))})
		f.Drill.Sensing.Products = append(f.Drill.Sensing.Products, drill.ProductID(fmt.Sprintf("p%d", p)))
	}
	n := 0
	for h, runs := range y.heads {
		hd := drill.Head{ID: drill.HeadID(fmt.Sprintf("H%d", h+1)), Product: drill.ProductID(fmt.Sprintf("p%d", h%y.products))}
		for o := range runs {
			row++
			hd.Rows = append(hd.Rows, row)
			node := fmt.Sprintf("%d", 4001+n/y.perNode)
			if n%y.perNode == 0 {
				f.Nodes = append(f.Nodes, fit.Node{Serial: node, Ports: y.perNode, Head: hd.ID})
			}
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID(hd.ID, o+1), Node: node, Port: n%y.perNode + 1})
			n++
		}
		f.Drill.Heads = append(f.Drill.Heads, hd)
	}
	f.Drill.Rows.Count = row
	for _, c := range y.closed {
		f.Drill.Closed = append(f.Drill.Closed, f.Map[c].Run)
	}
	return f
}

func (y *yard) runs() int {
	n := 0
	for _, h := range y.heads {
		n += h
	}
	return n
}

// stroke is one pinch or tap.
type stroke struct {
	run       int
	atS, endS float64
	markS     float64
	unmarked  bool
	burst     float64
}

func (y *yard) walk(rng *rand.Rand) (strokes []stroke, endS float64) {
	var runs []int
	for k := range y.runs() {
		if !slices.Contains(y.closed, k) && !y.unwalked[k] {
			runs = append(runs, k)
		}
	}
	if y.shuffled {
		rng.Shuffle(len(runs), func(i, j int) { runs[i], runs[j] = runs[j], runs[i] })
	}
	if y.order != nil {
		runs = y.order(runs)
	}
	t := 10 + 5*rng.Float64()
	between := func(r [2]float64) float64 { return r[0] + (r[1]-r[0])*rng.Float64() }
	for _, k := range runs {
		if len(strokes) < len(y.at) {
			t = y.at[len(strokes)]
		}
		s := stroke{run: k, atS: t, endS: t + between(y.pinchS), unmarked: y.unmarked[k], burst: math.Exp(0.35 * rng.NormFloat64())}
		s.markS = s.atS + y.markErrS*(2*rng.Float64()-1)
		if y.middle {
			s.markS += (s.endS - s.atS) / 2
		}
		strokes = append(strokes, s)
		t = s.endS + between(y.gapS)
	}
	return strokes, t + 8
}

// record is the yard's walk as a log, with marks (nil without) and the truth.
func (y *yard) record(rng *rand.Rand) (*flowlog.Log, *Marks, []truth, *fit.Fit) {
	f := y.fit()
	strokes, end := y.walk(rng)
	n := y.runs()
	if y.place == nil {
		y.place = inOrder(n)
	}
	head := make([]int, 0, n)
	for h, k := range y.heads {
		for range k {
			head = append(head, h)
		}
	}
	gain, share, noise, phase := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for k := range n {
		gain[k], share[k] = math.Exp(y.gainSD*rng.NormFloat64()), math.Exp(0.06*rng.NormFloat64())
		noise[k] = y.noise * y.rateHz * (0.6 + 0.4*rng.Float64())
		phase[k] = 2 * math.Pi * rng.Float64()
		if slices.Contains(y.closed, k) {
			share[k] = 0
		}
	}
	log := &flowlog.Log{}
	log.Clock = y.clock
	for _, l := range f.Map {
		log.Columns = append(log.Columns, flowlog.PortColumn(l.Ref()))
	}
	log.Reset(n)
	pulse := 2 * math.Pi * rng.Float64()
	carry := make([]float64, n)
	base := int64(0)
	if y.clock == flowlog.UTC {
		base = 1_770_000_000_000_000_000
	}
	for t := 0.0; t < end; {
		dt := y.dtS * (1 + y.jitterDT*(2*rng.Float64()-1))
		level := y.means(strokes, t, dt, head, share, phase, pulse)
		if a, b := y.joined[0], y.joined[1]; a != b { // the flows mix, and each sensor hears half
			level[a] = (level[a] + level[b]) / 2
			level[b] = level[a]
		}
		counts := make([]float64, n)
		for k := range n {
			counts[k] = draw(rng, level[k]*gain[k], y.disp) + draw(rng, noise[k]*dt, 0)
		}
		seen := y.heard(rng, counts, dt)
		t += dt
		if rng.Float64() < y.lost && t+2*y.dtS < end {
			if y.carried {
				for c := range seen {
					carry[c] += seen[c]
				}
			}
			continue
		}
		log.TimeNS = append(log.TimeNS, base+int64(math.Round(t*1e9)))
		muted := map[string]bool{}
		for _, nd := range f.Nodes {
			m, ok := y.mute[nd.Serial]
			muted[nd.Serial] = rng.Float64() < y.dropped || (ok && t > m[0] && t < m[1])
		}
		for c := range n {
			v := seen[c] + carry[c]
			carry[c] = 0
			if muted[f.Map[c].Node] || y.dead[c] == "null" {
				v = flowlog.Missing()
			}
			log.Values[c] = append(log.Values[c], v)
		}
	}
	if y.extra != nil {
		y.extra(log)
	}
	return log, y.marks(rng, f, strokes, base), y.truth(f, strokes), f
}

// means are what passes each run's sensor in the sample from t on.
func (y *yard) means(strokes []stroke, t, dt float64, head []int, share, phase []float64, pulse float64) []float64 {
	const sub = 8
	out := make([]float64, len(share))
	for u := range sub {
		at := t + dt*(float64(u)+0.5)/sub
		pass := make([]float64, len(share))
		for k := range pass {
			pass[k] = share[k] * (1 + y.driftSD*math.Sin(2*math.Pi*at/97+phase[k]))
		}
		total := map[int]float64{}
		for k, v := range pass {
			total[head[k]] += v
		}
		left := map[int]float64{}
		for _, s := range strokes {
			if at < s.atS || at > s.endS+2 {
				continue
			}
			if y.tap {
				if at < s.endS {
					out[s.run] += y.tapHz * s.burst * dt / sub
					for _, nb := range []int{s.run - 1, s.run + 1} {
						if nb >= 0 && nb < len(share) && head[nb] == head[s.run] {
							out[nb] += y.crosstak * y.tapHz * s.burst * dt / sub
						}
					}
				}
				continue
			}
			q := max(y.leak, 1-(min(at, s.endS)-s.atS)/max(y.fallS, 1e-3))
			if at > s.endS {
				q += (1 - q) * min(1, (at-s.endS)/0.3)
			}
			pass[s.run] *= q
		}
		if y.tap && !y.flowTap {
			continue
		}
		for k, v := range pass {
			left[head[k]] += v
		}
		rate := y.rateHz * (1 + y.pulseA*math.Cos(2*math.Pi*y.pulseHz*at+pulse))
		for from, by := range y.steps {
			if at > from {
				rate *= by
			}
		}
		for _, s := range y.stops {
			if at > s[0] && at < s[1] {
				rate = 0
			}
		}
		for k, v := range pass {
			r := rate
			if o, ok := y.headOff[head[k]]; ok && at > o[0] && at < o[1] {
				r = 0
			}
			if left[head[k]] > 1e-9 {
				out[k] += r * v * min(2.5, total[head[k]]/left[head[k]]) * dt / sub // a head that is all but shut passes little
			}
		}
	}
	return out
}

// heard is what each port counts of what passes the sensors.
func (y *yard) heard(rng *rand.Rand, counts []float64, dt float64) []float64 {
	seen := make([]float64, len(counts))
	for k, c := range y.place {
		if c >= 0 {
			seen[c] += counts[k]
		}
	}
	for c, how := range y.dead {
		seen[c] = 0
		if how == "hum" {
			seen[c] = draw(rng, max(6, y.rateHz/2)*dt, 0)
		}
	}
	return seen
}

// draw is a negative binomial count.
func draw(rng *rand.Rand, mu, disp float64) float64 {
	if mu <= 0 {
		return 0
	}
	if disp > 0 {
		mu = distuv.Gamma{Alpha: 1 / disp, Beta: 1 / (disp * mu), Src: rng}.Rand()
	}
	if mu <= 0 {
		return 0
	}
	return distuv.Poisson{Lambda: mu, Src: rng}.Rand()
}

func (y *yard) marks(rng *rand.Rand, f *fit.Fit, strokes []stroke, base int64) *Marks {
	if !y.marked {
		return nil
	}
	m := &Marks{File: "marks.csv", Clock: y.clock}
	for _, s := range strokes {
		if s.unmarked {
			continue
		}
		run := s.run
		if as, ok := y.noteAs[run]; ok {
			run = as
		}
		m.Marks = append(m.Marks, Mark{TimeNS: base + int64((s.markS-y.offsetS)*1e9), Run: f.Map[run].Run})
	}
	for i := 0; y.again > 0 && i < len(strokes); i += y.again {
		m.Marks = append(m.Marks, Mark{TimeNS: m.Marks[i].TimeNS + 9e8, Run: m.Marks[i].Run})
	}
	rng.Shuffle(len(m.Marks), func(i, j int) { m.Marks[i], m.Marks[j] = m.Marks[j], m.Marks[i] })
	return m
}

func (y *yard) truth(f *fit.Fit, strokes []stroke) []truth {
	out := make([]truth, y.runs())
	for k := range out {
		out[k] = truth{verdict: NotWalked}
	}
	for _, s := range strokes {
		c := y.place[s.run]
		t := truth{verdict: Silent}
		if c >= 0 && y.dead[c] == "" {
			t = truth{verdict: AsPlanned, found: f.Map[c].Ref()}
			if c != s.run {
				t.verdict = Moved
			}
		}
		if y.joined[0] != y.joined[1] && slices.Contains(y.joined[:], s.run) {
			t = truth{verdict: Shared}
		}
		if s.unmarked && y.marked {
			t.accept = []Verdict{t.verdict, Unsure}
			t.verdict = NotWalked
		}
		out[s.run] = t
	}
	if !y.marked {
		for _, c := range y.closed {
			out[c].accept = []Verdict{Silent, Unsure}
		}
	}
	return out
}

// draw fills a yard with figures drawn at random, over all that the job has
// to bear.
func drawYard(rng *rand.Rand) *yard {
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	y := &yard{
		products: 1 + rng.IntN(2), perNode: 6 + rng.IntN(11),
		dtS: []float64{0.1, 0.2, 0.25, 0.5, 1}[rng.IntN(5)], rateHz: math.Exp(u(math.Log(12), math.Log(300))),
		disp: u(0.01, 0.08), gainSD: u(0.1, 0.35), noise: u(0, 0.33), pulseHz: u(1, 5), driftSD: u(0, 0.06),
		leak: u(0, 0.04), fallS: u(0.2, 0.9), pinchS: [2]float64{3, 6.5}, gapS: [2]float64{2.5, 6},
		marked: rng.Float64() < 0.6, markErrS: 1.5, offsetS: u(-119, 119), lost: u(0, 0.01), carried: rng.Float64() < 0.5, dropped: u(0, 0.01),
		clock: flowlog.Clock(rng.IntN(2)), dead: map[int]string{}, unmarked: map[int]bool{}, unwalked: map[int]bool{},
	}
	if rng.Float64() < 0.5 {
		y.pulseA = u(0.1, 0.6)
	}
	if rng.Float64() < 0.3 {
		y.jitterDT = 0.2
	}
	for range 1 + rng.IntN(5) {
		y.heads = append(y.heads, 3+rng.IntN(10))
	}
	if rng.Float64() < 0.3 {
		y.tap, y.tapHz, y.crosstak, y.pinchS = true, math.Exp(u(math.Log(40), math.Log(150))), u(0, 0.1), [2]float64{1, 3}
		y.flowTap = rng.Float64() < 0.2
		if y.flowTap {
			y.dtS = min(y.dtS, 0.5)
		}
		y.noise = 0
		if !y.flowTap {
			y.rateHz = 0
		} else {
			y.rateHz = u(5, max(6, y.tapHz/8))
		}
	}
	y.drawFaults(rng)
	return y
}

func (y *yard) drawFaults(rng *rand.Rand) {
	n := y.runs()
	y.place = inOrder(n)
	free := rng.Perm(n)
	take := func() int { k := free[0]; free = free[1:]; return k }
	if n >= 8 && rng.Float64() < 0.3 {
		y.closed = append(y.closed, take())
	}
	if rng.Float64() < 0.5 && len(free) > 3 {
		a, b := take(), take()
		y.place[a], y.place[b] = b, a
	}
	if rng.Float64() < 0.3 && len(free) > 4 {
		a, b, c := take(), take(), take()
		y.place[a], y.place[b], y.place[c] = b, c, a
	}
	if rng.Float64() < 0.5 && len(free) > 2 {
		y.dead[take()] = []string{"zero", "null", "hum"}[rng.IntN(3)]
	}
	if rng.Float64() < 0.2 && len(free) > 4 && y.rateHz > 30 && !y.tap {
		y.joined = [2]int{take(), take()}
	}
	if y.marked {
		y.shuffled = rng.Float64() < 0.4
		for k := range n {
			if rng.Float64() < 0.02 {
				y.unmarked[k] = true
			} else if rng.Float64() < 0.04 {
				y.unwalked[k] = true
			}
		}
	}
}
