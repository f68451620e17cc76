// Package season puts many reviewed days of one drill into one account: how
// often each run, head and node was in trouble, how long, over how much ground;
// whether it grows worse; which of them stand out from the others; and what a
// repair changed.
//
// In: a fit, one Day for each recording (what a review found, without its
// pictures), and the repairs that a person noted. Out: a Document. A Day is
// small, so that a season of large recordings is read one after another in the
// memory of one.
//
// Three things go wrong with a run's neighbourhood, and each has its own cure:
// flow (blocked, restricted: hose and opener), sensing (readings gone or
// meaningless, a node silent) and supply (a whole head or product short).
// Events of one place and trouble that follow each other within five minutes
// are one trouble, and so is one that lasts from the end of a recording into
// the start of the next.
//
// Counts are taken to be Poisson given the hours in which a run was watched.
// Intervals are exact (Garwood 1936). A place stands out where its count is
// beyond the chance that an equal rate leaves, given the sum of all (binomial),
// after Holm's (1979) correction for having looked at all of them, and it was in
// trouble on two recordings at least. A trend is
// the score test of a rate that changes by the same factor with each hour of
// work (Cox and Lewis 1966, The Statistical Analysis of Series of Events,
// chapter 3), exact given the count where there are few. Before and after a
// repair are compared by the exact ratio of rates; a repair often follows a bad
// spell, after which chance alone brings better days: the others' ratio stands
// beside it.
package season
