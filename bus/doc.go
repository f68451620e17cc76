// Package bus judges the data pair that joins sensing nodes and gateway: is it
// short enough, are its drops short enough, are there too many boxes on it,
// does it end in two terminators, can its bits be told apart at the far end.
// And it says what an ohmmeter must show across the pair before power is first
// put on.
//
// In: the fit, the harness as laid, the catalogue of parts, which says by what
// rules a box's bus is made. Out: a fit.Bus and a check.Result for each rule
// ([Plan]).
//
// The rules themselves are data (rules.yaml, [Book]): each figure carries its
// source and how well it is known. Rule sets do not mix: a bus of boxes by
// different sets is broken whatever its length.
//
// The arithmetic, each in a function with its source:
//
//	t_prop = 2 (t_trx + 5 ns/m L) <= t_seg1          delay in the bit
//	V_far  = V_out R_far / (R_far + 2 r L)            level at the far end
//	L      = R_far (V_out/V_req - 1) / (2 r)          length that this allows
//	R      = R_T || (2 r L + R_T) || R_diff/n         ohmmeter, power off
//
// It knows nothing of what is said on the bus: the average load is asked of the
// maker of the nodes.
package bus
