// Package evenness is about how evenly a drill divides its product over its
// width: from bags weighed in the yard, and, once those bags have calibrated
// the sensors, from the counts of the field.
//
//	bags, err := evenness.ReadBags(r, "bags.csv", d)          // run,repeat,grams
//	c, err := evenness.Judge(d, bags, evenness.Options{...})  // catch/1
//	g, err := evenness.Calibrate(fit, c, logs)                // gains/1
//	e, err := evenness.Field(fit, log, g)                     // evenness/1
//
// A mass is taken as m = M f (1 + b + e): M the mean, f what the repeat made of
// it (longer or shorter), b the run, e the scatter of the repeat. One-way
// random-effects analysis of variance on m/f parts b from e, so that neither
// weighing nor the repeats' own scatter is called unevenness:
//
//	CV^2 of the run means = between^2 + within^2 / repeats
//
// The plain CV is the trade's figure (ISO 7256-2 names it; s with n - 1) and
// has the exact interval of a normal sample (noncentral t). The part between
// runs has the modified large-sample interval of Ting and others (1990).
//
// Sensors differ in gain by tens of percent: counts of different runs are no
// evenness, and [Field] gives none without gains. With them,
//
//	CV_true^2 = CV^2(counts/gain) - counting floor - gain^2 error
//
// where the floor is what the counts of one run scatter from block to block, so
// over-dispersion is in it. The package draws and opens nothing.
package evenness
