// Package alarm designs alarm rules for one drill from a recorded baseline: a
// stretch of ordinary work, nothing wrong. [Tune] takes a fit and a flow log
// and gives a rules document.
//
// A run is low in a sample when count < floor x share x (total of its head);
// the alarm sounds when lows in a row span the hold time. The count's law given
// the total is a share law (beta-binomial, fitted by maximum likelihood on
// settled work only) whose wavering is split by how long it lasts: fresh each
// sample, swirl of a second, drift of minutes. From it, over the totals in the
// order the log has them,
//
//	onsets = sum over samples of P(good, then d lows)       (false alarms)
//	metres = speed x E(time from the fault to the d-th low)  (missed)
//
// and the law is held against the spells of lows that the baseline itself
// shows. The rule kept is the one that loses least product within the false
// alarms allowed: metres missed of a blocked run plus half those of a run that
// lost half. Every product gets an equal part of the allowance.
//
// Where a port of the head did not report, the total is that of the ports that
// did, divided by their part of the shares. The package reviews no field day
// and keeps no clock; see review.
package alarm
