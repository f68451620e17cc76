package counts

import "math"

// sharePoint is a point of the Dirichlet-multinomial likelihood.
type sharePoint struct {
	p   []float64
	phi float64
}

// shareDerivatives are the derivatives of the log likelihood
//
//	sum_i sum_k parts[i][k] ln(p_i + k phi) - sum_k total[k] ln(1 + k phi)
//
// grad and dd by p_i (dd with its sign turned), cross by p_i and phi (sign
// turned), phi by phi, phi2 by phi twice (sign turned).
type shareDerivatives struct {
	grad, dd, cross []float64
	phi, phi2       float64
}

func (h headTally) logLikelihood(at sharePoint) float64 {
	var s float64
	for k, c := range h.total {
		s -= c * math.Log1p(float64(k)*at.phi)
	}
	for i, t := range h.parts {
		for k, c := range t {
			s += c * math.Log(at.p[i]+float64(k)*at.phi)
		}
	}
	return s
}

func (h headTally) derivatives(at sharePoint) shareDerivatives {
	n := len(h.parts)
	d := shareDerivatives{grad: make([]float64, n), dd: make([]float64, n), cross: make([]float64, n)}
	for k, c := range h.total {
		r := float64(k) / (1 + float64(k)*at.phi)
		d.phi -= c * r
		d.phi2 -= c * r * r
	}
	for i, t := range h.parts {
		for k, c := range t {
			f := float64(k)
			u := 1 / (at.p[i] + f*at.phi)
			d.grad[i] += c * u
			d.dd[i] += c * u * u
			d.cross[i] += c * f * u * u
			d.phi += c * f * u
			d.phi2 += c * f * f * u * u
		}
	}
	return d
}

func (d shareDerivatives) sumInverse() float64 {
	var s float64
	for _, v := range d.dd {
		if v > 0 {
			s += 1 / v
		}
	}
	return s
}

// meanOf is the mean of v weighted with 1/dd: what a step along v must give
// back so that the shares still add up to 1.
func (d shareDerivatives) meanOf(v []float64) float64 {
	var s float64
	for i, w := range d.dd {
		if w > 0 {
			s += v[i] / w
		}
	}
	return s / d.sumInverse()
}

// information is the observed information on phi when the shares follow.
func (d shareDerivatives) information() float64 {
	s, mean := d.phi2, d.meanOf(d.cross)
	for i, w := range d.dd {
		if w > 0 {
			s -= d.cross[i] * (d.cross[i] - mean) / w
		}
	}
	return s
}

// step is the Newton step under sum p = 1; where the likelihood is not concave
// in phi it only says which way to go.
func (d shareDerivatives) step(phi float64) (dp []float64, dphi float64) {
	score, mean := d.phi, d.meanOf(d.grad)
	for i, w := range d.dd {
		if w > 0 {
			score -= d.cross[i] * (d.grad[i] - mean) / w
		}
	}
	dphi = score / d.information()
	if !(d.information() > 0) {
		dphi = math.Copysign(phi/2, score)
	}
	dphi = math.Max(dphi, -0.9*phi)
	slope := d.meanOf(d.cross)
	dp = make([]float64, len(d.dd))
	for i, w := range d.dd {
		if w > 0 {
			dp[i] = (d.grad[i] - mean - (d.cross[i]-slope)*dphi) / w
		}
	}
	return dp, dphi
}

// climb takes Newton steps, halved until they climb, until they stand still.
func (h headTally) climb(at sharePoint) sharePoint {
	ll := h.logLikelihood(at)
	for range 200 {
		dp, dphi := h.derivatives(at).step(at.phi)
		next, gain := at, math.Inf(-1)
		for scale := 1.0; scale > 1e-9; scale /= 2 {
			next = at.moved(dp, dphi, scale)
			if next.inside(at) {
				gain = h.logLikelihood(next) - ll
				// Near the top the gain drowns in rounding: let it pass.
				if gain >= -1e-14*math.Abs(ll) {
					break
				}
			}
		}
		if math.IsInf(gain, -1) || gain < -1e-14*math.Abs(ll) {
			return at
		}
		still := math.Abs(next.phi-at.phi) <= 1e-13*at.phi && next.near(at)
		at, ll = next, ll+gain
		if still {
			return at
		}
	}
	return at
}

func (at sharePoint) moved(dp []float64, dphi, scale float64) sharePoint {
	p := make([]float64, len(at.p))
	for i := range p {
		p[i] = at.p[i] + scale*dp[i]
	}
	return sharePoint{p, at.phi + scale*dphi}
}

// inside says that no share that was positive has been stepped out of (0, 1].
func (at sharePoint) inside(from sharePoint) bool {
	for i, p := range at.p {
		if from.p[i] > 0 && !(p > 0 && p <= 1) {
			return false
		}
	}
	return at.phi > 0
}

func (at sharePoint) near(other sharePoint) bool {
	for i, p := range at.p {
		if math.Abs(p-other.p[i]) > 1e-14 {
			return false
		}
	}
	return true
}
