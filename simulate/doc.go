// Package simulate makes flow logs of a drill in a field or in a yard, with
// the truth beside them: for practice, for the demo, and for tests that must
// know what really happened.
//
// In: a fit and a Scenario (scenario.yaml, scenario/1). Out: a Recording, which
// is a flowlog.Reader that makes its samples as they are read, the marks of a
// walk, and the Truth.
//
// One sample of one run is a negative binomial count with mean
//
//	mu = (m(l) + noise) dt,  variance = mu + dispersion mu^2
//
// where l is the particles per second that pass the sensor times its gain, and
// m the dead time of the counter (Knoll, ch. 4; see counts.DeadTime). l follows
// speed, rate steps, the pulsing of the meter (1 + A cos 2 pi f t, averaged over
// the sample), slow drift of the run's share (Ornstein-Uhlenbeck), lifting and
// sections with their transport lags, and faults. What a blocked or starved
// branch does not take goes to its siblings (SiblingRise 1: all of it).
//
// The figures that shape a scenario by default are common practice, no source.
// The same seed gives the same bytes.
package simulate
