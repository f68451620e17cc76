// Package harness lays power and bus along the frame of a drill: where each
// box of a fit hangs on it, in which order the backbone reaches them, and from
// which stock lengths every leg is made.
//
// In: a fit with its nodes, the catalogue of parts, the place of the gateway.
// Out: a fit.Harness, and what the rules say of it. One feed leg brings power
// from the supply to the junction J1 by the gateway; the backbone, a line with
// a terminator at each end, goes through J1 and all nodes. A box with two
// connectors is in the line; one with a single connector hangs on a junction
// by a drop.
//
// Ways follow the frame: from a box straight to the nearest place of the frame,
// along its links, and straight to the next box. On a frame without rings, with
// W the length of all stretches that the ways use and D the longest way between
// two boxes, the shortest line through all boxes with free ends is
//
//	2 W - D
//
// walked depth first from one end of D to the other, its own stretch last
// (wiring.md, section 7; each stretch off D is passed twice). On a frame with
// rings the order is found by dynamic programming over subsets (Held and Karp
// 1962) up to 16 boxes; above, by local search, with a proved lower bound from
// spanning trees (Held and Karp 1970), and Bound states the gap. Lengths are
// whole micrometres inside, so that ties are ties on every machine.
//
// A leg needs its way, the slack of each hinge on it, 5 % lay and 0.3 m for a
// loop at the box (common practice, no source). A link with slack counts whole
// even where only part of it is used: on which side of the box the hinge is,
// nobody has said. Stock pieces of one cross-section cover the need with least
// surplus, then fewest joints, by dynamic programming in whole millimetres.
//
// Not here: volts and fuses (power), lengths and drops that a bus allows (bus).
package harness
