// Package align finds how far apart the clocks of a flow log and a position log
// are, and joins the two.
//
// The offset is the position log's clock minus the flow log's: what the flow log
// calls t happened when the position log's clock showed t + offset. Four kinds of
// evidence tell of it, as far as the logs have them:
//
//   - Speed: the flow log's own speed, or that of its own positions, against the
//     position log's.
//   - Work: the work state of both.
//   - Flow: particles per second against speed, within passes and the stands in
//     them. The meter is driven or steered by ground speed, so that flow follows
//     it, a transport lag later.
//   - Lift: the work state, or else flow itself, against the turns at headlands or
//     the position log's work state.
//
// All are sought together on a grid of a second or so, as the sum of log
// likelihood ratios -n/2 ln(1-r^2) of the correlations r over the samples present
// in both (masked cross-correlation by FFT; Padfield 2012, IEEE Trans. Image
// Processing 21:2706), each scaled so that what it shows far from the peak is what
// chance alone would show (chi squared of one degree of freedom). The best sharp
// one is then refined by least squares with a level of its own for each stretch of
// at most two minutes; the 95 % interval comes from drawing stretches anew
// (block bootstrap; Kuensch 1989, Ann. Statist. 17:1217), or from the curvature
// where there are few. Speeds and flow count only where stretches all over the
// logs agree, so that two stops that happen to look alike say nothing. An offset
// that is ten nats better than any other is Sure where its interval reaches no
// further than a sample of the flow log, else Rough. First and last third are
// compared for drift.
//
// Flow alone cannot tell the clock from the lag: offset and lag enter only as
// their difference. A known lag is added; one that is reckoned has the span of its
// reckoning; a work column bounds the lag, for flow starts and stops no sooner
// after the work state than product is under way, and turns place it; else the
// answer is the clock less the lag, and says so. What no log
// tells is the latency of the receiver itself (20 to 500 ms, from memory): it is
// part of the answer, and of every use of the joined log.
package align
