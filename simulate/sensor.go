package simulate

import (
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/counts"
)

// sensor turns particles into counts: the flow wavers from sample to sample by
// a gamma factor, its particles come at random, the counter misses those that
// come in its dead time, and noise of its own is counted on top.
type sensor struct {
	counter
	law  Law
	gain float64
	seen float64 // part of the particles that it still sees
	rng  *rand.Rand
}

func newSensor(law Law, gain float64, rng *rand.Rand) sensor {
	s := sensor{law: law, gain: gain, seen: 1, rng: rng}
	s.dead.TauS = law.DeadTimeMS / 1000
	if law.Paralyzable {
		s.dead.Kind = counts.Paralyzable
	}
	return s
}

// meanPerS is the mean count per second at a flow of perS particles.
func (s *sensor) meanPerS(perS float64) float64 {
	return s.dead.Recorded(perS*s.gain*s.seen) + s.law.NoisePerS
}

// sample draws the count of dt seconds at a flow of perS particles.
func (s *sensor) sample(perS, dt float64, lifted bool) float64 {
	perS *= s.gain * s.seen
	if phi := s.law.Dispersion; phi > 0 && perS > 0 {
		perS *= distuv.Gamma{Alpha: 1 / phi, Beta: 1 / phi, Src: s.rng}.Rand()
	}
	noise := s.law.NoisePerS
	if lifted {
		noise += s.law.NoiseLiftedPerS
	}
	return float64(s.counter.count(perS, dt, s.rng)) + s.poisson(noise*dt)
}

func (s *sensor) poisson(mean float64) float64 {
	if mean <= 0 {
		return 0
	}
	return float64(counts.Poisson{Mu: mean}.Rand(s.rng))
}

// rattle draws counts that no particle causes, more scattered than particles.
func (s *sensor) rattle(mean float64) float64 {
	if s.law.Dispersion <= 0 {
		return s.poisson(mean)
	}
	return float64(counts.NegativeBinomial{Mu: mean, Theta: 1 / s.law.Dispersion}.Rand(s.rng))
}
