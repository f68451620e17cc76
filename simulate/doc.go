// Package simulate makes flow logs of a drill in a field or in a yard, with
// the truth beside them: for practice, for the demo, and for tests that must
// know what really happened.
//
// In: a fit and a Scenario (scenario.yaml, scenario/1). Out: a Recording, which
// is a flowlog.Reader that makes its samples as they are read, the marks of a
// walk, the weighed bags of a catch test, and the Truth.
//
// One sample of one run is counted as a sensor would: the flow of particles past
// it, times its gain, wavers from sample to sample by a gamma factor of variance
// dispersion; particles come at random; each keeps the counter busy for the dead
// time, and those that come meanwhile are missed (Knoll, ch. 4; see
// counts.DeadTime); a Poisson noise floor comes on top. Without dead time and
// noise that is a negative binomial count with
//
//	mu = l dt,  variance = mu + dispersion mu^2
//
// where l, the particles per second, follows speed, rate steps, the pulsing of
// the meter (1 + A cos 2 pi f t, averaged over the sample), slow drift of the
// run's share (Ornstein-Uhlenbeck), lifting and sections with their transport
// lags, and faults. What a blocked or starved branch does not take goes to its
// siblings (SiblingRise 1: all of it).
//
// The position that is logged is the antenna's (drill.GNSS.At), on the tractor, on
// a cart between, or on the drill; what is drawn follows its hitch without
// slipping sideways, in steps of 2 cm. Speed is the tractor's. Passes are joined by
// turns of circles of one radius, which swing out where two quarter circles do not
// fit, and straights on which the drill comes into line.
//
// The figures that shape a scenario by default are common practice, no source.
// The same seed gives the same bytes.
package simulate
