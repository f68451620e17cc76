package harness

import (
	"fmt"
	"math"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// Limits on a harness: common practice, no source.
const (
	offTightM   = 1.5 // way between box and frame; what is longer wants a bracket or a clip
	offMostM    = 3.0
	foldSlackM  = 0.3 // slack over one fold
	jointsTight = 3   // joints within one leg
	jointsMost  = parts.MostJoints
	coilTight   = 0.3 // surplus to coil, as part of all that is laid
)

// Judge is what the rules of this room say of a planned harness; after Resize
// it is asked again. Of many things that are in order the one with the least
// margin is told, of others each.
func Judge(h fit.Harness, cat parts.Catalogue, opt Options) check.Results {
	stock := NewStock(cat)
	var off, cover, joints, drops check.Results
	for _, p := range h.Places {
		if p.Kind != fit.JunctionPlace {
			off = append(off, offFrame(p))
		}
	}
	for _, leg := range h.Legs {
		cover = append(cover, covered(leg))
		joints = append(joints, jointsIn(leg, stock, opt))
		if leg.Drop && opt.StubMaxM > 0 {
			drops = append(drops, dropAsLaid(leg, opt.StubMaxM))
		}
	}
	var rs check.Results
	for _, all := range []check.Results{off, cover, joints, hingeSlack(h), drops} {
		rs = append(rs, telling(all)...)
	}
	return append(rs, coiled(h))
}

// telling are the results that want a person, or of kept ones that with the
// least margin: sixty legs that are in order are one line.
func telling(rs check.Results) check.Results {
	if len(rs) == 0 {
		return nil
	}
	var some check.Results
	least := rs[0]
	for _, r := range rs {
		if r.Verdict() != check.Kept {
			some = append(some, r)
		}
		if r.Margin() < least.Margin() {
			least = r
		}
	}
	if len(some) == 0 {
		return check.Results{least}
	}
	return some
}

func offFrame(p fit.Place) check.Result {
	return check.Result{
		Rule: "way off the frame", Of: p.ID, Quantity: measure.Length,
		Value: drill.DistanceM(p.At, p.OnFrame), Limit: offMostM, Reserve: offMostM - offTightM,
		Source: check.CommonPractice, Advice: "check its at_m; else add a frame point near it, or fasten the harness on a bracket",
	}
}

// covered judges the length in stock pieces against the need. A leg without
// pieces has no length yet.
func covered(leg fit.Leg) check.Result {
	r := check.Result{
		Rule: "leg covered from stock", Of: legName(leg), Quantity: measure.Length,
		Value: leg.LengthM, Bound: check.AtLeast, Limit: leg.NeedM(),
		Source: "its way, hinge slack, lay and service loop", Advice: "add harness legs of that cross-section to parts.yaml, or have this one made",
	}
	if len(leg.Pieces) == 0 {
		r.Value = 0
	}
	return r
}

// jointsIn counts the joints within a leg and names the cover with fewer.
func jointsIn(leg fit.Leg, stock Stock, opt Options) check.Result {
	r := check.Result{
		Rule: "joints within a leg", Of: legName(leg),
		Value: math.Max(0, float64(len(leg.Pieces)-1)), Limit: jointsMost, Reserve: jointsMost - jointsTight,
		Source: check.CommonPractice, Advice: "each joint is two more contacts and a place for water: use longer pieces",
	}
	if few := stock.Cover(leg.NeedM(), opt.areaMM2(leg), FewestPieces); len(few.Pieces) < len(leg.Pieces) {
		r.Advice += fmt.Sprintf("; %d pieces of %.3g m together have %d fewer", len(few.Pieces), few.LengthM, len(leg.Pieces)-len(few.Pieces))
	}
	return r
}

// hingeSlack judges each hinge that a leg crosses, once.
func hingeSlack(h fit.Harness) check.Results {
	var rs check.Results
	seen := make(map[drill.FrameLink]bool)
	for _, leg := range h.Legs {
		for _, hinge := range leg.Hinges {
			if seen[hinge] {
				continue
			}
			seen[hinge] = true
			rs = append(rs, check.Result{
				Rule: "slack over a hinge", Of: fmt.Sprintf("%s to %s, leg %s", hinge.From, hinge.To, leg.ID), Quantity: measure.Length,
				Value: hinge.SlackM, Bound: check.AtLeast, Limit: foldSlackM,
				Source: check.CommonPractice, Advice: "fold once by hand with a cord in place of the harness and measure; write it into slack_m of the link",
			})
		}
	}
	return rs
}

func dropAsLaid(leg fit.Leg, mostM float64) check.Result {
	return check.Result{
		Rule: "drop as laid", Of: legName(leg), Quantity: measure.Length,
		Value: leg.LengthM, Limit: mostM,
		Source: "rules of the bus", Advice: "the junction stands at the box already: plug it on without a leg, or use boxes with two connectors",
	}
}

// coiled is how much of what is laid is surplus. It is never broken: too much
// cable is money, not a fault.
func coiled(h fit.Harness) check.Result {
	laid, surplus := 0.0, 0.0
	for _, leg := range h.Legs {
		laid += leg.LengthM
		surplus += leg.SurplusM()
	}
	return check.Result{
		Rule: "surplus to coil", Of: fmt.Sprintf("%.1f m of %.1f m, all legs", surplus, laid), Quantity: measure.Ratio,
		Value: surplus / laid, Limit: 1, Reserve: 1 - coilTight,
		Source: check.CommonPractice, Advice: "shorter pieces in stock would spare cable; coil what is over at the boxes, never at a hinge",
	}
}

func legName(leg fit.Leg) string { return fmt.Sprintf("%s, %s to %s", leg.ID, leg.From, leg.To) }
