// Package walk turns the recording of a yard walk into a proved map: which
// port really listens to which run.
//
// In a walk a person pinches each run shut for some seconds while product
// flows (or taps its sensor while nothing does) and notes when. In: the fit,
// the flow log, the notes if there are any ([ReadMarks]). Out: a [Proof] with a
// verdict for each run, its probability and what it rests on, the offset
// between the two clocks, and the fewest tubes to move ([Prove]).
//
// How it works, each step in a file of that name. Counts go into equal bins
// (grid). What a port should count untouched is its own level times what the
// other ports of its product and head do meanwhile, so that pulsing, rate and
// fan cancel, and a sibling's rise is no reaction (flow, expect). The evidence
// for a reaction that starts at a given time is the likelihood ratio of
// over-dispersed counts,
//
//	sum over bins of x ln(m1/m0) - (x + 1/phi) ln((1+phi m1)/(1+phi m0)),
//
// averaged over unknown depth and length (shape, evidence). With notes, the
// posterior over clock offsets and the one-to-one matching of runs and ports
// come from that evidence and from the prior that most hoses are right
// (offset, marked, match); without notes, a sum over all paths through
// reactions and runs that rise together (order, unmarked). One slip of a
// person may move many tubes (slips). Two ports may hear one run (sharing,
// joined). decide says what it takes to say a thing: a wrong
// "as planned" is the worst error, so it asks for evidence of its own, and
// what remains in doubt is unsure.
//
// It does not know which of hose, tube and sensor is wrong, and a person who
// notes a wrong run for every pinch will not be found out.
package walk
