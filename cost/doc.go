// Package cost estimates what the skips of reviewed days may cost, with the
// interval that its assumptions allow.
//
// In: a drill, the events and skip strips that a review wrote, and what the
// grower assumes: crop, yield, prices. Out: a Document: each event's cost, the
// sum, and every assumption with its source and whose it is.
//
// Ground that went short is cut into pieces by how many rows lie side by side
// short of seed at the same place, whichever events, passes or products left
// them so. Neighbours reach only so far: of k rows at spacing s, with reach r
// and efficiency e of the ground that they reach,
//
//	lost width = k s - 2 e min(k s/2, r)
//
// (a proposal of this program's reference notes, set beside field trials in the
// tests; no published law). A row that kept a part f of its seed is a thin stand
// by the reciprocal equation y = d/(a + b d) (Willey and Heath, Advances in
// Agronomy, 1969), D plants/m2 wanted, h = a/b:
//
//	short by g = 1 - f (h + D)/(h + f D)
//
// and neighbours take a part of that as they do of a bare row's.
//
// Every assumption is a range. Draws from all ranges together (triangles, from
// a seed) give the middle figure and the limits between which nine draws in ten
// lie; the corners of all combinations stand beside them.
//
// What it does not do: a fertiliser run missed has no general figure, so metres
// and area are all that is said of it; weeds, uneven ripening and what stripes
// look like are named and not counted; a missed area is never called lost
// yield.
package cost
