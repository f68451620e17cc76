package review

import (
	"slices"

	"runproof/drill"
	"runproof/ground"
)

// sowing keeps when product was on its way into the ground: it comes some time
// after it is called for, and goes on for some time after.
type sowing struct {
	in     *inputs
	k      *learned
	groups []sowers
}

// sowers are rows that one head feeds and the same sections shut.
type sowers struct {
	product  int
	head     drill.HeadID
	sections []int
	rows     []int
	runs     []int   // those of them that are watched
	hoseS    float64 // from the sensors to the openers
	lagS     float64 // the longest usual one from a command to the sensors

	called  bool
	on      bool  // product passes the sensors
	sinceNS int64 // of the last change of command
	offNS   int64 // since when it does not
	shutNS  int64 // when that was commanded
	idle    []pause
	shut    []ground.Spell // those of them in which a section was shut in the ground
	closed  bool           // it has been, since product was there last
}

// pause is a spell without product at the openers, and when it was commanded:
// from the lift or the shut section to the lowering or the opening.
type pause struct {
	ground.Spell
	shutNS, calledNS int64
}

func newSowing(in *inputs, k *learned, hoses ground.Hoses) *sowing {
	s := &sowing{in: in, k: k}
	watched := map[drill.RunID]int{}
	for i, r := range in.runs {
		watched[r.ID] = i
	}
	for _, r := range in.fit.Drill.Runs() {
		p := slices.IndexFunc(in.products, func(p productHeads) bool { return p.id == r.Product })
		if p < 0 || r.Closed {
			continue
		}
		var shut []int
		for c, runs := range in.secRuns {
			if slices.Contains(runs, r.ID) {
				shut = append(shut, c)
			}
		}
		fits := func(g sowers) bool { return g.product == p && g.head == r.Head && slices.Equal(g.sections, shut) }
		g := &s.groups[indexOr(&s.groups, fits, sowers{product: p, head: r.Head, sections: shut})]
		g.rows = append(g.rows, r.Row)
		g.hoseS += (hoses.S[r.ID] - g.hoseS) / float64(len(g.rows))
		if i, ok := watched[r.ID]; ok {
			g.runs = append(g.runs, i)
		}
	}
	for i := range s.groups {
		s.groups[i].lagS = s.lagS(&s.groups[i])
	}
	return s
}

// step is quick but where a command waits to take effect.
func (s *sowing) step(f *frame) {
	for i := range s.groups {
		g := &s.groups[i]
		called := f.calls(g.sections)
		if called != g.called {
			g.called, g.sinceNS = called, f.fromNS
		}
		g.closed = g.closed || f.work && !called
		if g.called != g.on {
			s.settle(g, f)
		}
	}
}

// settle says whether the command has reached the sensors: where they count half
// of the usual, or, should they tell nothing, when the longest usual lag is over.
func (s *sowing) settle(g *sowers, f *frame) {
	part, known := s.flow(g, f)
	over := float64(f.toNS-g.sinceNS)/1e9 >= g.lagS
	if !over && (!known || (part >= 0.5) != g.called) {
		return
	}
	at := f.toNS - int64(min(1, part)*float64(f.toNS-f.fromNS)) // it came within the frame
	if !g.called {
		at = f.fromNS + int64(min(1, part)*float64(f.toNS-f.fromNS))
	}
	if over || !known {
		at = f.fromNS
	}
	at += int64(g.hoseS * 1e9)
	if g.on = g.called; g.on {
		g.idle = append(g.idle, pause{ground.Spell{Rows: g.rows, FromNS: g.offNS, ToNS: at}, g.shutNS, g.sinceNS})
		if g.closed {
			g.shut, g.closed = append(g.shut, g.idle[len(g.idle)-1].Spell), false
		}
	} else {
		g.offNS, g.shutNS = at, g.sinceNS
	}
}

// flow is the part of the usual flow that the group's sensors count.
func (s *sowing) flow(g *sowers, f *frame) (part float64, known bool) {
	x, usual := 0.0, 0.0
	for _, i := range g.runs {
		if f.lost[i] < f.samples {
			x += f.x[i]
			usual += s.k.rateHz[i] * f.durS * float64(f.samples-f.lost[i]) / float64(f.samples)
		}
	}
	if usual <= 0 {
		return 0, false
	}
	return x / usual, true
}

func (s *sowing) lagS(g *sowers) float64 {
	most := 0.0
	for i, r := range s.in.runs {
		if r.product == g.product && (len(g.runs) == 0 || slices.Contains(g.runs, i)) {
			most = max(most, s.k.lagOnS[i], s.k.lagOffS[i])
		}
	}
	return most
}

// unseenNS: an event that ends so soon after product has arrived once more ended
// at some time before; the first frames are not judged.
const unseenNS = 2.5e9

// lastSeen is the end of a spell of an event, or, where that lies just after a
// start that followed a lift or a shut section, the middle of that time: the event
// ended meanwhile, and nothing says that ground went short after it.
func (s *sowing) lastSeen(sp *spell, fromNS, toNS int64) int64 {
	last := int64(0)
	for _, g := range s.groups {
		if g.product != sp.product || sp.head >= 0 && g.head != s.in.heads[sp.head].id || sp.run >= 0 && !slices.Contains(g.runs, sp.run) {
			continue
		}
		end := toNS
		for _, idle := range g.idle {
			if idle.FromNS > fromNS && idle.FromNS < toNS && idle.ToNS > toNS-unseenNS {
				end = max(fromNS, idle.shutNS/2+idle.calledNS/2)
			}
		}
		last = max(last, end)
	}
	if last == 0 {
		return toNS
	}
	return last
}

// product is what the surveyor needs to know of a product, up to the end of the
// log.
func (s *sowing) product(p int, endNS int64) ground.Product {
	var out ground.Product
	for _, g := range s.groups {
		if g.product != p {
			continue
		}
		out.Rows = append(out.Rows, g.rows...)
		for _, p := range g.idle {
			out.Spells = append(out.Spells, p.Spell)
		}
		if !g.on {
			out.Spells = append(out.Spells, ground.Spell{Rows: g.rows, FromNS: g.offNS, ToNS: endNS + 60e9})
		}
	}
	return out
}

// shut is when sections of the product were shut in the ground, with the time
// that it takes to show at the openers.
func (s *sowing) shut(p int, endNS int64) []ground.Spell {
	var out []ground.Spell
	for _, g := range s.groups {
		if g.product != p {
			continue
		}
		out = append(out, g.shut...)
		if !g.on && g.closed {
			out = append(out, ground.Spell{Rows: g.rows, FromNS: g.offNS, ToNS: endNS + 60e9})
		}
	}
	return out
}
