// Package replay plays alarm rules over a recorded day, sample by sample, and
// says what a monitor with those rules would have done.
//
// In: a fit, the events of the day as a review found them, one or several rules
// documents, and the flow log, read once in memory that does not grow with it.
// Out: a Document: which events each set of rules would have caught, after how
// many seconds and metres, which never; the alarms that belong to no event; and
// the floors and holds that would have missed least on that day.
//
// A run is low in a sample when
//
//	count < floor x share x (what the head's runs counted in that sample)
//
// and the alarm sounds with the d-th low sample in a row, d being hold_s in
// samples of the log. A count that was not reported is not low and breaks the
// row, as do a gap in the log, lifting, and a section that is shut; closed runs
// and runs without a share in the rules are not watched and not in the total. A
// node without data is silent: its runs are never low, what they would have
// counted is missing from the total of their heads, and the rule does not sound
// for it; a monitor must tell that by itself.
//
// An alarm belongs to an event that concerns its run and overlaps its row of
// lows, give or take three seconds, as a review finds the start of an event to
// about that. What belongs to no event is false. Alarms whose lows began within
// nine seconds of the command to sow are counted apart: product has not arrived
// everywhere then, a rule's design leaves that spell out, and monitors wait.
//
// Every floor from 10 to 90 % with every hold from two samples up to a minute,
// or 240 samples where that is less, is tried in the same pass: a row of L lows
// sounds every rule of that floor with d = L at its L-th sample, so one running
// length per run and floor answers for all holds. The best of them is fitted to
// that one day and no more.
package replay
