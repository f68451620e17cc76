// Package review reads a recorded field day against a fit and says what went
// wrong on which run, when, over how many metres, and how sure that is.
//
// In: a fit and a flow log, read once, batch by batch, in memory that does not
// grow with the log. Out: a Result: events with their evidence, a summary of
// each run, the pictures' data.
//
// The samples of a run are gathered into frames of about half a second. In a
// frame with head total T, a sound run of share p counts about e = p T; speed,
// rate and the pulsing of the meter cancel (independent Poissons given their
// sum are multinomial). Against that stands the hypothesis that only a part f
// of its flow is left. The log-likelihood ratio of a frame is
//
//	l = (x ln f + e (1 - f)) / F
//
// with F the run's own variance/mean (quasi-likelihood: McCullagh and Nelder
// 1989, ch. 9), summed as a CUSUM (Page 1954): S = max(0, S + l). The last time
// S was 0 is where the fault began; the place is then refined by the best
// fitting ramp. Heads are tested the same way inside their product, products
// against speed.
//
// A blocked hose sends its product to its siblings, which rise to n/(n-1); a
// dead sensor does not. That rise, against the other heads of the product (or
// speed, where there are none), tells the two apart.
//
// A run that comes and goes is one event with its duty: two histories are
// weighed, one that goes from level to level and one that fell and came back
// once. Shares that fade over hours or shift for good are findings, from looks
// of five minutes. Where the rate varies, the counters' dead time shows in how
// rich runs lag behind poor ones; losses are freed from it.
//
// Lifted, shut off and start-up spells are masked with lags taken from the
// log itself; readings there are used for one thing: a sensor that counts
// without flow.
package review
