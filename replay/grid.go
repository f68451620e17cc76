package replay

import (
	"slices"

	"runproof/drill"
)

// The rules that are tried: the floors and holds that runproof tune looks at.
const (
	lowestFloor  = 0.10
	floorStep    = 0.05
	floors       = 17 // 10 to 90 %
	longestHoldS = 60
	mostSamples  = 240
)

func floorAt(k int) float64 { return lowestFloor + float64(k)*floorStep }

// grid tries every floor with every hold in one pass. What is low under one
// floor is low under every higher one, so a sample's work ends at the lowest
// floor under which it is low.
type grid struct {
	layout  layout
	player  *player // whose shares and totals are used
	most    int     // longest hold, samples
	runs    []gridRun
	product []int                   // by run: index of its product
	quiet   [][floors][]int         // by product, floor, samples-1: false alarms
	catches map[int]*[floors][]spot // by event that is scored
}

// gridRun is one run under every floor.
type gridRun struct {
	low [floors]gridRow
	any bool // some row is open
}

type gridRow struct {
	n       int
	sinceNS int64
	owned   bool // belongs to an event
	rash    bool // began in the first seconds of work
}

// spot is how far after the event's start the alarm sounded, in metres;
// never where none did.
type spot float64

func newGrid(p *player, l layout, ts *targets, intervalS float64) *grid {
	g := &grid{layout: l, player: p, most: min(mostSamples, max(2, int(longestHoldS/intervalS))), runs: make([]gridRun, len(l.runs)), catches: map[int]*[floors][]spot{}}
	var ids []drill.ProductID
	for _, r := range l.runs {
		at := slices.Index(ids, r.Product)
		if at < 0 {
			at, ids = len(ids), append(ids, r.Product)
			g.quiet = append(g.quiet, [floors][]int{})
			for k := range floors {
				g.quiet[at][k] = make([]int, g.most)
			}
		}
		g.product = append(g.product, at)
	}
	for e, t := range ts.all {
		if !t.scored {
			continue
		}
		c := new([floors][]spot)
		for k := range c {
			c[k] = slices.Repeat([]spot{spot(never)}, g.most)
		}
		g.catches[e] = c
	}
	return g
}

// play goes through a batch with the totals that the player has just summed.
func (g *grid) play(d *deal) {
	for r := range g.runs {
		if g.player.runs[r].share > 0 {
			g.run(d, r)
		}
	}
}

func (g *grid) run(d *deal, r int) {
	q, share := &g.runs[r], g.player.runs[r].share
	total, on := g.player.totals[g.layout.runs[r].head], d.on(r)
	for i, v := range d.counts(r) {
		usual := share * total[i]
		if !(v < floorAt(floors-1)*usual-1e-9) || !on[i] {
			if q.any {
				*q = gridRun{}
			}
			continue
		}
		if d.st.gap[i] {
			*q = gridRun{}
		}
		g.low(d, r, i, v, usual)
	}
}

// low takes a sample that is low under the highest floor at least.
func (g *grid) low(d *deal, r, i int, v, usual float64) {
	q := &g.runs[r]
	q.any = true
	for k := floors - 1; k >= 0; k-- {
		if !(v < floorAt(k)*usual-1e-9) {
			for ; k >= 0 && q.low[k].n > 0; k-- {
				q.low[k] = gridRow{}
			}
			return
		}
		w := &q.low[k]
		if w.n++; w.n == 1 {
			w.sinceNS = d.sinceNS(i)
			w.rash = w.sinceNS-d.onNS[r][i] < startingNS
		}
		g.reach(d, r, k, i)
	}
}

// reach is a row's w.n-th low: it sounds the rule that holds so long. An event
// that begins under a row has been caught at once by all shorter holds, and
// what they had sounded was not false.
func (g *grid) reach(d *deal, r, k, i int) {
	w, ns := &g.runs[r].low[k], d.timeNS[i]
	for _, e := range d.targets.byRun[r] {
		t := &d.targets.all[e]
		if !t.overlaps(w.sinceNS, ns) {
			continue
		}
		if w.n > 1 && t.arrives(w.sinceNS, d.prevNS(i), ns) {
			g.arrived(e, r, k, min(w.n-1, g.most))
		}
		w.owned = true
		if c := g.catches[e]; c != nil && w.n <= g.most {
			_, m := t.after(ns, d.st.distM[i])
			c[k][w.n-1] = min(c[k][w.n-1], spot(t.missedM(m)))
		}
	}
	if !w.owned && !w.rash && w.n <= g.most {
		g.quiet[g.product[r]][k][w.n-1]++
	}
}

// arrived gives an event the alarms of the holds up to n samples, which sound
// already.
func (g *grid) arrived(e, r, k, n int) {
	w := &g.runs[r].low[k]
	for j := range n {
		if c := g.catches[e]; c != nil {
			c[k][j] = 0
		}
		if !w.owned && !w.rash {
			g.quiet[g.product[r]][k][j]--
		}
	}
}

// points are every rule of a product as it did on the day, by floor, then hold;
// a hold of one sample is left out: it would rest on a single odd reading.
func (g *grid) points(id drill.ProductID, holdS func(samples int) float64) []Point {
	at := slices.IndexFunc(g.layout.runs, func(r watched) bool { return r.Product == id })
	var out []Point
	for k := range floors {
		for d := 2; d <= g.most; d++ {
			p := Point{Product: id, Floor: floorAt(k), HoldS: holdS(d), FalseCount: g.quiet[g.product[at]][k][d-1], samples: d}
			g.score(&p, k, d)
			out = append(out, p)
		}
	}
	return out
}

// score sums over the product's events.
func (g *grid) score(p *Point, k, d int) {
	for e, t := range g.player.targetsOf(p.Product) {
		switch m := float64(g.catches[e][k][d-1]); {
		case m == never:
			p.MissedM += t.Metres
		default:
			p.MissedM += m
			p.Caught++
		}
	}
}
