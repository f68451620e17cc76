package review

import (
	"math"
	"slices"

	"runproof/measure"
)

// Intermittent tells of an event that came and went: a hose that plugs and
// clears again and again, a plug that has no firm contact.
type Intermittent struct {
	Spells   int     `json:"spells"`    // how often it was so
	Duty     float64 `json:"duty"`      // part of the way in work, from the first to the last, on which it was so
	MeanS    float64 `json:"mean_s"`    // how long it was so at a time, seconds in work
	EveryS   float64 `json:"every_s"`   // from one beginning to the next, seconds in work
	LongestS float64 `json:"longest_s"` // the longest of them
}

// flicker follows a run from its first fault on, until it has been sound for
// flickerRestS: each frame in which it was low, or sound, with its siblings'.
type flicker struct {
	run          int
	pieces       []piece
	maybe        lowStretch // the last low frames, a piece or chance
	restS, workS float64
	low, high    flickSide
	wild         int // frames far above sound flow
	path         path
	frames       int
	key          uint64
	ref          reference
	sag          [2]float64 // what the last two sound frames lacked, seconds of flow
	sags         int        // how many of them there were since the last piece
	sagS, frameS meanOf     // the same before pieces; the length of their frames
}

// piece is one stretch of low frames.
type piece struct {
	fromNS, toNS     int64
	fromDist, toDist float64
	workS            float64
	before, after    path
}

// flickSide sums frames of one kind: the run's own counts, and its siblings'
// level against the reference.
type flickSide struct {
	x, e     float64
	sib, ref float64
	frames   int
}

// lowStretch are low frames in a row, with what speaks for a tenth of the flow
// in them against sound flow, nats.
type lowStretch struct {
	piece
	flickSide
	llr          float64
	sagS, frameS float64
}

// A run is low in a frame below flickLow of sound flow and sound above
// flickHigh. Low frames in a row are a piece when flickNats speak for it;
// flickerRestS of work without one end the story.
const (
	flickLow     = 0.5
	flickHigh    = 0.7
	flickNats    = 6
	flickNearS   = 60 // so soon after the last piece, flickNats are enough for another; later it takes lowAlarm
	flickCounts  = 4  // expected in a frame that can tell low from sound
	flickerRestS = 300
	leastPieces  = 4
)

// flick begins or goes on with the run's story when a fault is raised, from the
// frame in which that began.
func (d *detector) flick(s *spell) {
	if d.flickers[s.run] != nil {
		return
	}
	fl := &flicker{run: s.run}
	d.flickers[s.run] = fl
	d.flicking = append(d.flicking, s.run)
	for k := d.hist.size - 1; k > 0; k-- { // the newest comes with followFlickers
		if p := d.hist.back(k); p.toNS > s.startNS-20e9 {
			d.flickFrame(fl, p)
		}
	}
}

// followFlickers takes the newest frame into every story.
func (d *detector) followFlickers() {
	d.flicking = slices.DeleteFunc(d.flicking, func(i int) bool {
		fl := d.flickers[i]
		d.flickFrame(fl, d.now)
		if fl.restS < flickerRestS || d.runs[i].spell != nil {
			return false
		}
		d.told, d.flickers[i] = append(d.told, fl), nil
		return true
	})
}

func (d *detector) flickFrame(fl *flicker, p *past) {
	i := fl.run
	level := d.levelOf(p, d.in.heads[d.in.runs[i].head].runs, i)
	e := d.runs[i].share * level
	if p.e[i] <= 0 || !(e >= flickCounts) {
		return
	}
	fl.frames++
	fl.workS += p.durS
	x := p.x[i]
	if fl.maybe.frames == 0 {
		fl.maybe.before = fl.path
	}
	fl.path.add(x, e, d.k.overdisp[i])
	if x < flickLow*e {
		fl.lower(p)
		fl.maybe.after = fl.path
		fl.maybe.llr += (x*lowLogs[0] + e*(1-lowParts[0])) / d.k.overdisp[i]
		d.side(&fl.maybe.flickSide, fl, p, x, e)
		return
	}
	fl.settle()
	fl.restS += p.durS
	fl.sag, fl.sags = [2]float64{fl.sag[1], (1 - x/e) * p.durS}, fl.sags+1
	if x > flickHigh*e {
		d.side(&fl.high, fl, p, x, e)
	}
	if x > e+4.5*math.Sqrt(d.k.overdisp[i]*e) {
		fl.wild++
	}
}

// lower adds a low frame to the stretch that may become a piece.
func (fl *flicker) lower(p *past) {
	m := &fl.maybe
	if m.frames == 0 {
		m.fromNS, m.fromDist = p.fromNS, p.distM
		if p.speedMPS == p.speedMPS {
			m.fromDist -= p.speedMPS * p.durS
		}
		if fl.sags > len(fl.sag) { // the first frame after a piece may be one of its return
			m.sagS, m.frameS = fl.sag[0]+fl.sag[1], p.durS
		}
	}
	m.toNS, m.toDist, m.workS = p.toNS, p.distM, m.workS+p.durS
}

// settle ends a stretch of low frames: a piece, or chance.
func (fl *flicker) settle() {
	m := fl.maybe
	fl.maybe = lowStretch{}
	if m.frames == 0 {
		return
	}
	need := float64(flickNats)
	if fl.restS > flickNearS {
		need = lowAlarm
	}
	if m.llr < need {
		fl.restS += m.workS
		return
	}
	fl.pieces, fl.restS, fl.sags = append(fl.pieces, m.piece), 0, 0
	if m.frameS > 0 {
		fl.sagS.add(m.sagS, 1)
		fl.frameS.add(m.frameS, 1)
	}
	l := &fl.low
	l.x, l.e, l.sib, l.ref, l.frames = l.x+m.x, l.e+m.e, l.sib+m.sib, l.ref+m.ref, l.frames+m.frames
}

// fallS is how long before it was half down a piece began to fall, on the mean. In
// a straight fall of length T half is lost after T/2, and T/8 of flow until then;
// of one that is sudden the frame before shows an eighth of its length on the mean,
// which is taken off. A hose fills in 3 s at most (common practice, no source).
func (fl *flicker) fallS() float64 {
	return min(1.5, 4*max(0, fl.sagS.value(0)-fl.frameS.value(0)/8))
}

// fromTheFall are the pieces, each from when it began to fall.
func (fl *flicker) fromTheFall() []piece {
	out := slices.Clone(fl.pieces)
	for i := range out {
		p := &out[i]
		s := fl.fallS()
		if i > 0 {
			s = min(s, float64(p.fromNS-out[i-1].toNS)/1e9/2)
		}
		if p.workS > 0 {
			p.fromDist -= s * (p.toDist - p.fromDist) / p.workS
		}
		p.fromNS, p.workS = p.fromNS-int64(s*1e9), p.workS+s
	}
	return out
}

func (d *detector) side(to *flickSide, fl *flicker, p *past, x, e float64) {
	to.x, to.e, to.frames = to.x+x, to.e+e, to.frames+1
	sib, ref, mode := d.siblingsAndRef(fl.run, d.in.runs[fl.run].head, p)
	if fl.ref == noReference {
		fl.ref, fl.key = mode, p.key
	}
	if mode != noReference && mode == fl.ref && p.key == fl.key {
		to.sib, to.ref = to.sib+sib, to.ref+ref
	}
}

// tells says whether the story is one of coming and going: several pieces, none
// far above sound flow, as random readings are, and a run that goes from level to
// level is clearly likelier than one that fell once and came back once.
func (fl *flicker) tells() bool {
	return len(fl.pieces) >= leastPieces && fl.wild*50 < fl.frames && fl.sure() > flickSure
}

// path holds, for the frames so far, the log-likelihood of a run that goes from
// level to level (hidden Markov model; forward recursion: Rabiner 1989, eq. 19 to
// 21) and the sums from which that of one level follows. Counts are taken as
// Poisson with likelihoods raised to 1/F (quasi-likelihood); terms that all have
// in common are left out.
type path struct {
	at      [len(flickLevels)]float64 // chance of each level, given the frames
	ll      float64
	x, e, f float64
}

// The levels are those of a plugged hose, a half open one, and a sound one; a
// frame keeps the level of the one before but for flickSwitch.
var flickLevels = [...]float64{0.04, 0.4, 1}

const (
	flickSwitch = 0.06
	flickSure   = 12 // nats
)

func (w *path) add(x, e, f float64) {
	if w.f == 0 {
		w.at[len(w.at)-1] = 1
	}
	w.f = f
	var next [len(flickLevels)]float64
	top := math.Inf(-1)
	var lp [len(flickLevels)]float64
	for k, level := range flickLevels {
		lp[k] = (x*math.Log(level) - e*level) / f
		top = max(top, lp[k])
	}
	sum, others := 0.0, float64(len(flickLevels)-1)
	for k := range next {
		came := w.at[k]*(1-flickSwitch) + (1-w.at[k])*flickSwitch/others
		next[k] = came * math.Exp(lp[k]-top)
		sum += next[k]
	}
	for k := range next {
		w.at[k] = next[k] / sum
	}
	w.ll += top + math.Log(sum)
	w.x, w.e = w.x+x, w.e+e
}

// sure is by how much coming and going is likelier than one fall and one return:
// the best stretch from one piece to another at its mean level, sound before and
// after.
func (fl *flicker) sure() float64 {
	if len(fl.pieces) == 0 {
		return 0
	}
	first, last := fl.pieces[0].before, fl.pieces[len(fl.pieces)-1].after
	once := math.Inf(-1)
	for i, from := range fl.pieces {
		for _, to := range fl.pieces[i:] {
			x, e := to.after.x-from.before.x, to.after.e-from.before.e
			level := max(x, 0.5) / e
			once = max(once, x*math.Log(level)-e*level-(last.e-first.e-e))
		}
	}
	return last.ll - first.ll - once/last.f
}

// rise is ln of how much more the siblings had in low frames than in sound
// ones, with its standard error from the counts. Drift is the same for both, as
// they lie side by side.
func (d *detector) rise(fl *flicker) (v, se float64, ok bool) {
	l, h := fl.low, fl.high
	if l.sib <= 0 || h.sib <= 0 || l.ref <= 0 || h.ref <= 0 {
		return 0, 0, false
	}
	f := d.k.overdisp[fl.run]
	part := 1 - d.runs[fl.run].share
	refs := 1.0
	if fl.ref != againstHeads {
		refs = 4 // speed and time say less of the meter than the other heads do
	}
	return math.Log(l.sib / l.ref * h.ref / h.sib), math.Sqrt(f * refs * 1.5 * (1/(l.sib*part) + 1/(h.sib*part))), true
}

// joinFlickers puts one event for each story that is one of coming and going in
// the place of what the detectors made of it piece by piece.
func (d *detector) joinFlickers(spells []*spell) []*spell {
	for _, i := range d.flicking {
		d.flickers[i].settle()
		d.told = append(d.told, d.flickers[i])
	}
	for _, fl := range d.told {
		if !fl.tells() {
			continue
		}
		s := d.storySpell(fl, spells)
		if s == nil {
			continue
		}
		spells = slices.DeleteFunc(spells, func(t *spell) bool {
			return t.run == fl.run && t.startNS < s.endNS+5e9 && t.endNS > s.startNS-5e9
		})
		spells = append(spells, s)
	}
	sortSpells(spells)
	return spells
}

// storySpell is the event of a story; nil where another fault reaches far
// beyond it.
func (d *detector) storySpell(fl *flicker, spells []*spell) *spell {
	fl.pieces = fl.fromTheFall()
	first, last := fl.pieces[0], fl.pieces[len(fl.pieces)-1]
	s := d.newSpell(Unknown, fl.run, first.fromNS)
	s.startDist, s.endNS, s.endDist, s.pieces = first.fromDist, last.toNS, last.toDist, fl.pieces
	s.x, s.e, s.allX, s.allE, s.frames = fl.low.x, fl.low.e, fl.low.x, fl.low.e, fl.low.frames
	s.flick = fl
	for _, t := range spells {
		if t.run == fl.run && t.startNS < s.endNS && t.endNS > s.startNS {
			if s.before.durS == 0 {
				s.before = t.before
			}
			s.after = t.after
		}
		if t.run == fl.run && t.startNS < s.endNS && t.endNS > s.startNS {
			if t.kind == Noisy && t.quietBad {
				return nil // a sensor that counts without flow tells nothing of the hose
			}
			if t.startNS < s.startNS-30e9 || t.endNS > s.endNS+30e9 {
				return nil
			}
			s.llr += t.llr
			s.assumed = t.assumed
		}
	}
	s.kind = d.kindOfStory(s)
	return s
}

// flickOdds weighs hose against sensor from low frames against sound ones.
func (d *detector) flickOdds(s *spell, w weighing) weighing {
	v, se, ok := d.rise(s.flick)
	if !ok {
		return w
	}
	w.rise, w.riseSE, w.known, w.against = v, se, true, s.flick.ref
	w.odds += min(15, max(-15, (v*v-(v-w.expected)*(v-w.expected))/(2*se*se)))
	return w
}

func (d *detector) kindOfStory(s *spell) Kind {
	switch {
	case d.hoseOdds(s).odds < 0:
		return SensorLost
	case 1-d.left(s) > 0.89:
		return Blocked
	}
	return Restricted
}

// intermittent sums the story up for the event.
func (fl *flicker) intermittent() *Intermittent {
	first, last := fl.pieces[0], fl.pieces[len(fl.pieces)-1]
	var way, workS, longest float64
	for _, p := range fl.pieces {
		way, workS, longest = way+p.toDist-p.fromDist, workS+p.workS, max(longest, p.workS)
	}
	n := float64(len(fl.pieces))
	out := &Intermittent{Spells: len(fl.pieces), MeanS: measure.Round(workS/n, 1), LongestS: measure.Round(longest, 1)}
	if all := last.toDist - first.fromDist; all > 0 {
		out.Duty = measure.Round(min(1, way/all), 3)
	}
	span := fl.workS - fl.restS
	out.EveryS = measure.Round(span/n, 1)
	return out
}

// wayM is the way in work over which the spell showed.
func (s *spell) wayM() float64 {
	if s.pieces == nil {
		return max(0, s.endDist-s.startDist)
	}
	way := 0.0
	for _, p := range s.pieces {
		way += p.toDist - p.fromDist
	}
	return way
}

// stretches are the times at which the spell showed.
func (s *spell) stretches() []piece {
	if s.pieces == nil {
		return []piece{{fromNS: s.startNS, toNS: s.endNS}}
	}
	return s.pieces
}
