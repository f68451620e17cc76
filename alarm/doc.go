// Package alarm designs alarm rules from a drill's own flow: how far below its
// usual share of the head a run must fall, and for how long, before a monitor
// should sound, and what that will cost in false alarms and in metres.
//
// In: a fit and a baseline recording of sound work. Out: Rules, a document.
//
// A run is low in a sample when its count is below floor x share x the head's
// total in that sample; the alarm sounds after d low samples in a row. Given
// the total n, a run's count is beta-binomial (counts.FitShare), fitted by
// maximum likelihood. Its over-dispersion is split in three, by how long it
// lasts: white (from sample to sample), swirl (an autoregression of fractions of
// a second) and drift (minutes: hillside, hose lie), from the autocovariance of
// the shares. The rate of false alarms is then the exact law of "a good sample,
// then d lows"
//
//	rate(d) = E[(1-g(u0)) g(u1) ... g(ud)]  per sample
//
// where g(u) is the chance of a low at swirl and drift u, averaged over the
// totals that the baseline shows; without swirl and drift it is p q^d (Feller
// 1968, XIII.7). The delay after a fault is the mean run length of the same
// chain at the fallen share.
//
// What is fitted on the first part of the baseline is held against the rest,
// and the document says when they disagree. Lifted, shut-off and start-up
// spells are left out; closed runs have no rule.
package alarm
