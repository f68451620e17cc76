package review

import (
	"cmp"
	"math"
	"slices"
)

// begun are all spells, ended or still open at the end of the log.
func (d *detector) begun() []*spell {
	all := slices.Clone(d.done)
	for i := range d.runs {
		for _, s := range []*spell{d.runs[i].spell, d.runs[i].gone, d.runs[i].stuck} {
			all = appendOpen(all, s)
		}
	}
	for h := range d.heads {
		all = appendOpen(all, d.heads[h].spell)
	}
	for p := range d.prods {
		all = appendOpen(all, d.prods[p].spell)
	}
	for _, s := range d.nodes {
		all = appendOpen(all, s)
	}
	return all
}

// finish settles every spell's kind, and puts together what belongs together.
func (d *detector) finish() []*spell {
	var kept []*spell
	for _, s := range d.begun() {
		if d.settle(s) {
			kept = append(kept, s)
		}
	}
	sortSpells(kept)
	kept = d.joinNodes(kept)
	kept = d.dropShadows(kept)
	kept = joinRepeats(kept)
	kept = d.joinFlickers(kept)
	return kept
}

func appendOpen(to []*spell, s *spell) []*spell {
	if s != nil {
		to = append(to, s)
	}
	return to
}

func sortSpells(s []*spell) {
	slices.SortStableFunc(s, func(a, b *spell) int {
		return cmp.Or(cmp.Compare(a.startNS, b.startNS), cmp.Compare(a.product, b.product), cmp.Compare(a.head, b.head), cmp.Compare(a.run, b.run), cmp.Compare(a.kind, b.kind))
	})
}

// settle decides the spell's kind, and whether it is one to report.
func (d *detector) settle(s *spell) bool {
	switch s.kind {
	case Unknown:
		return d.settleLow(s)
	case Noisy:
		return d.settleHigh(s)
	case HeadStarved:
		return d.settleHead(s)
	}
	return true
}

// settleLow tells hose from sensor and blocked from restricted. The contract
// draws the lines at 25 and 90 %; an estimate a little under a line is taken
// over it, as its own uncertainty (share drift of 1 to 3 %) reaches that far.
func (d *detector) settleLow(s *spell) bool {
	odds, f := d.hoseOdds(s).odds, s.fraction()
	switch lost := 1 - d.left(s); {
	case s.repeats:
		s.kind = SensorLost
	case s.quietBad, s.meaningless() && !s.quietOK:
		s.kind = Noisy
	case s.meaningless():
		s.kind = SensorLost
	case f < 0.12 && odds < 0, f >= 0.12 && odds < -6:
		s.kind = SensorLost
	case lost > 0.89:
		s.kind = Blocked
	case lost >= 0.22 || d.surelyLost(s, lost):
		s.kind = Restricted
	default:
		return false
	}
	return s.endNS > s.startNS
}

// surelyLost says that a loss too small to go by its size alone is one all the
// same, given enough time: what chance and drift of the share (2 %; design:
// common practice, no source) leave of it stands well clear of the few per cent
// that runs always differ by.
func (d *detector) surelyLost(s *spell, lost float64) bool {
	const driftSD, nothing, times = 0.02, 0.1, 2.5
	if s.e <= 0 {
		return false
	}
	se := math.Sqrt(d.k.overdisp[s.run]*s.fraction()/s.e + driftSD*driftSD)
	return lost-times*se > nothing
}

// settleHigh keeps a run that counts too much: noisy where it counted without
// flow, or nobody could tell; meaningless where it was silent without flow.
func (d *detector) settleHigh(s *spell) bool {
	f := 0.0
	if s.allE > 0 {
		f = s.fraction()
	}
	switch {
	case s.repeats:
		s.kind = SensorLost
	case s.llr < 0 && !s.quietBad:
		return false // what followed has outweighed what raised it
	case s.quietBad:
	case s.wild && s.quietOK:
		s.kind = SensorLost
	case s.wild:
	case s.quietOK && f >= 1.5:
		s.kind = SensorLost
	case s.quietOK || f < 1.4:
		return false
	}
	return s.endNS > s.startNS
}

// settleHead turns the event of a head with one run into that run's, and that
// of a head whose sensors all read exactly nothing into its node's: a starved
// head still trickles.
func (d *detector) settleHead(s *spell) bool {
	runs := d.in.heads[s.head].runs
	lost := 1 - s.fraction()
	if lost < 0.15 {
		return false
	}
	if len(runs) == 1 {
		s.run, s.node = runs[0], d.in.runs[runs[0]].node
		s.kind = Restricted
		if lost > 0.9 {
			s.kind = Blocked
			if s.x == 0 && s.frames > 20 {
				s.kind = SensorLost
			}
		}
		return true
	}
	if s.x == 0 && s.e > 6 {
		node := d.in.runs[runs[0]].node
		same := !slices.ContainsFunc(runs, func(i int) bool { return d.in.runs[i].node != node })
		if same {
			s.kind, s.node = NoData, node
		}
	}
	return true
}

// joinNodes turns sensors of one node that all died and came back together
// into one silent node.
func (d *detector) joinNodes(spells []*spell) []*spell {
	drop := map[*spell]bool{}
	for n, node := range d.in.nodes {
		if len(node.runs) < 2 {
			continue
		}
		for _, lead := range spells {
			if lead.run < 0 || lead.node != n || lead.kind != SensorLost || drop[lead] {
				continue
			}
			set := map[int]*spell{}
			for _, s := range spells {
				if s.run >= 0 && s.node == n && s.kind == SensorLost && near(s.startNS, lead.startNS, 4e9) && near(s.endNS, lead.endNS, 6e9) {
					set[s.run] = s
				}
			}
			if len(set) < len(node.runs) {
				continue
			}
			for _, s := range set {
				drop[s] = s != lead
			}
			lead.kind, lead.run, lead.node = NoData, -1, n
		}
	}
	return slices.DeleteFunc(spells, func(s *spell) bool { return drop[s] })
}

func near(a, b, within int64) bool { return a-b <= within && b-a <= within }

// dropShadows removes what is only the shadow of something larger: runs and
// heads that went low while their product ran out, runs while their head was
// cut off.
func (d *detector) dropShadows(spells []*spell) []*spell {
	return slices.DeleteFunc(spells, func(s *spell) bool {
		if s.kind == NoData || s.kind == ProductOut || s.kind == Noisy {
			return false
		}
		for _, big := range spells {
			if big == s || !covers(big, s) {
				continue
			}
			if big.kind == ProductOut && big.product == s.product {
				return true
			}
			if big.kind == HeadStarved && s.kind != HeadStarved && big.head == s.head {
				return true
			}
			if big.kind == NoData && big.node == s.node && s.run >= 0 {
				return true
			}
		}
		return false
	})
}

// covers says whether most of s lies within big, give or take a few seconds.
func covers(big, s *spell) bool {
	if s.startNS < big.startNS-5e9 || s.startNS > big.endNS {
		return false
	}
	over := float64(s.endNS - max(s.startNS, big.endNS))
	return over < 10e9 || over < 0.3*float64(s.endNS-s.startNS)
}

// joinRepeats makes one event of a run's faults of one family that follow each
// other within a few seconds.
func joinRepeats(spells []*spell) []*spell {
	last := map[int]*spell{}
	drop := map[*spell]bool{}
	for _, s := range spells {
		if s.run < 0 {
			continue
		}
		if b := last[s.run]; b != nil && family(b.kind) == family(s.kind) && s.startNS-b.endNS < 6e9 {
			if s.allE > b.allE {
				b.kind = s.kind
			}
			b.endNS, b.endDist = max(b.endNS, s.endNS), max(b.endDist, s.endDist)
			b.x, b.e, b.allX, b.allE, b.llr = b.x+s.x, b.e+s.e, b.allX+s.allX, b.allE+s.allE, b.llr+s.llr
			drop[s] = true
			continue
		}
		last[s.run] = s
	}
	return slices.DeleteFunc(spells, func(s *spell) bool { return drop[s] })
}

func family(k Kind) int {
	switch k {
	case Blocked, Restricted:
		return 1
	case SensorLost, NoData:
		return 2
	}
	return 3
}
