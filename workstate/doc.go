// Package workstate is about how a monitor learns whether the drill is in the
// ground: where a tilt sensor or contact can go, which way round it works, and
// whether a recording's work column is right.
//
//	sw, results := workstate.Plan(fit, catalogue)     // place, angles, thresholds
//	a := workstate.Agree(time, work, counts, ports)   // inverted? wired to nothing?
//
// A tilt sensor sits on what turns when the openers are lifted. Its angle is
// asin((pin - pivot) / arm) in both positions; the state changes past
// thresholds 15 % of the span on either side of the middle, and only where half
// of the span is more than slope, band and mounting error together.
//
// A work column goes with the flow: product runs in the ground and stops when
// lifted, a few seconds late. In a yard the drill may stand lowered all the
// time; that proves nothing, and Agree says so. Words: ISO 11783 calls it the
// implement's work state.
package workstate
