package replay

import (
	"fmt"
	"math"
	"slices"

	"runproof/alarm"
	"runproof/drill"
	"runproof/input"
)

// Book is one rules document to be played.
type Book struct {
	Name  string // of the file
	Rules *alarm.Rules
}

// startingNS is how long after the command to sow an alarm counts as one of
// the start: the longest start lag that a rule's design leaves out.
const startingNS = 9e9

// mostListed is how many false alarms are listed one by one.
const mostListed = 200

// player is one rules document at work.
type player struct {
	Book
	keys    []Key
	runs    []playing // by watched run
	totals  [][]float64
	firsts  []first // by event
	targets *targets
	quiet   int     // false alarms in settled work
	rash    int     // and those of the start
	listed  []Alarm // the earliest of them
}

// playing is one run under one rule.
type playing struct {
	share float64 // of the head's counts; 0 = not watched
	key   int     // index of its product's rule
	part  float64 // floor x share
	d     int     // samples of the hold

	row     int // lows so far
	sinceNS int64
	soundNS int64
	false   bool // the row has sounded and belongs to no event
	rash    bool // and it began in the first seconds of work
}

// check says what is wrong with a rules document for playing.
func (b Book) check() error {
	fault := func(format string, args ...any) error {
		return input.Fault{Place: input.Place{File: b.Name}, What: fmt.Sprintf(format, args...), Remedy: "make one with runproof tune"}
	}
	if b.Rules == nil || len(b.Rules.Rules) == 0 || len(b.Rules.Shares) == 0 {
		return fault("the document has no rule or no shares")
	}
	for _, w := range b.Rules.Rules {
		if !(w.Floor > 0) || !(w.Floor < 10) || !(w.HoldS > 0) || !(w.HoldS <= 3600) {
			return fault("%s has floor %g and hold_s %g; a floor is a part of the usual share, a hold 3600 s at most", w.Product, w.Floor, w.HoldS)
		}
	}
	for id, s := range b.Rules.Shares {
		if !(s >= 0) || s > 1 {
			return fault("%s has a share of %g; shares lie between 0 and 1", id, s)
		}
	}
	return nil
}

func newPlayer(b Book, l layout, intervalS float64, ts *targets) *player {
	p := &player{Book: b, runs: make([]playing, len(l.runs)), totals: make([][]float64, len(l.heads)), firsts: make([]first, len(ts.all)), targets: ts}
	byProduct := map[drill.ProductID]int{}
	for _, w := range b.Rules.Rules {
		k := Key{Product: w.Product, Floor: w.Floor, HoldS: w.HoldS, HoldSamples: samplesOf(w.HoldS, intervalS)}
		if _, twice := byProduct[k.Product]; !twice {
			byProduct[k.Product] = len(p.keys)
			p.keys = append(p.keys, k)
		}
	}
	for i, r := range l.runs {
		if k, ok := byProduct[r.Product]; ok {
			s := b.Rules.Shares[r.ID]
			p.runs[i] = playing{share: s, key: k, part: p.keys[k].Floor * s, d: p.keys[k].HoldSamples}
		}
	}
	return p
}

// samplesOf is the hold in samples, as near as the log's interval allows.
func samplesOf(holdS, intervalS float64) int {
	return max(1, int(math.Round(holdS/intervalS)))
}

// sum adds up, for each head and sample, what the watched runs reported.
func (p *player) sum(d *deal) {
	for h := range p.totals {
		p.totals[h] = slices.Grow(p.totals[h][:0], d.n)[:d.n]
		clear(p.totals[h])
	}
	for r := range p.runs {
		if p.runs[r].share == 0 {
			continue
		}
		t := p.totals[d.layout.runs[r].head]
		for i, v := range d.counts(r) {
			if v == v {
				t[i] += v
			}
		}
	}
}

// play goes through a batch, run by run.
func (p *player) play(d *deal) {
	p.sum(d)
	for r := range p.runs {
		if p.runs[r].share > 0 {
			p.run(d, r)
		}
	}
}

// run goes through one run's samples. A limit within 1e-9 of a count is that
// count, see counts.LargestBelow.
func (p *player) run(d *deal, r int) {
	q, total := &p.runs[r], p.totals[d.layout.runs[r].head]
	on := d.on(r)
	for i, v := range d.counts(r) {
		if !(v < q.part*total[i]-1e-9) || !on[i] {
			q.row = 0
			continue
		}
		if d.st.gap[i] {
			q.row = 0
		}
		if q.row++; q.row == 1 {
			q.sinceNS, q.false = d.sinceNS(i), false
		}
		switch {
		case q.row == q.d:
			p.sound(d, r, i)
		case q.row > q.d:
			p.holds(d, r, i)
		}
	}
}

// sound is the moment of an alarm.
func (p *player) sound(d *deal, r, i int) {
	q, ns := &p.runs[r], d.timeNS[i]
	q.soundNS, q.false = ns, true
	for _, e := range d.targets.byRun[r] {
		if t := &d.targets.all[e]; t.overlaps(q.sinceNS, ns) {
			s, m := t.after(ns, d.st.distM[i])
			p.firsts[e].take(r, ns, s, m)
			q.false = false
		}
	}
	if !q.false {
		return
	}
	q.rash = q.sinceNS-d.onNS[r][i] < startingNS
	p.count(q, 1)
	if !q.rash {
		p.list(Alarm{Run: d.layout.runs[r].ID, ns: ns})
	}
}

func (p *player) count(q *playing, by int) {
	if q.rash {
		p.rash += by
		return
	}
	p.quiet += by
	p.keys[q.key].FalseCount += by
}

// list keeps the earliest false alarms.
func (p *player) list(a Alarm) {
	at, _ := slices.BinarySearchFunc(p.listed, a, func(x, a Alarm) int { return int(max(-1, min(1, x.ns-a.ns))) })
	for at < len(p.listed) && p.listed[at].ns == a.ns {
		at++
	}
	p.listed = slices.Insert(p.listed, at, a)
	p.listed = p.listed[:min(len(p.listed), mostListed+mostWatched)]
}

// mostWatched leaves room in the list for alarms that a later sample gives to
// an event after all.
const mostWatched = 400

// holds looks whether an event begins under an alarm that is sounding: it is
// caught at once, and the alarm was not false.
func (p *player) holds(d *deal, r, i int) {
	q, ns := &p.runs[r], d.timeNS[i]
	for _, e := range d.targets.byRun[r] {
		if !d.targets.all[e].arrives(q.sinceNS, d.prevNS(i), ns) {
			continue
		}
		p.firsts[e].take(r, q.soundNS, 0, 0)
		if q.false {
			q.false = false
			p.count(q, -1)
			p.listed = slices.DeleteFunc(p.listed, func(a Alarm) bool { return a.ns == q.soundNS && a.Run == d.layout.runs[r].ID })
		}
	}
}
