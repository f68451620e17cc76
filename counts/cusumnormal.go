package counts

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// NormalCUSUM is the chart S <- max(0, S + z - K) of normal scores z with
// standard deviation 1, alarm when S > H. It serves as a textbook check and for
// scores that are sums of many counts.
type NormalCUSUM struct{ K, H float64 }

// ARL returns the mean number of samples to the alarm when the scores have mean
// mu and S starts at head in [0, H]. It solves Page's integral equation
//
//	L(u) = 1 + L(0) Phi(K-u-mu) + integral_0^H L(s) phi(s+K-u-mu) ds
//
// at Gauss-Legendre points, eliminated without subtraction. For a chart that
// looks for a fall pass -mu.
func (c NormalCUSUM) ARL(mu, head float64) float64 {
	n := 60 + 4*int(c.H)
	s, w := make([]float64, n), make([]float64, n)
	quad.Legendre{}.FixedLocations(s, w, 0, c.H)
	// State 0 is the atom at S = 0, state n+1 the head.
	at := append(append([]float64{0}, s...), head)
	p, exit := make([][]float64, len(at)), make([]float64, len(at))
	for i, u := range at {
		shift := c.K - u - mu
		p[i] = make([]float64, len(at))
		p[i][0] = distuv.UnitNormal.CDF(shift)
		for j := range s {
			p[i][j+1] = w[j] * distuv.UnitNormal.Prob(s[j]+shift)
		}
		exit[i] = distuv.UnitNormal.Survival(c.H + shift)
	}
	return meanAbsorption(p, exit)[n+1]
}

// TwoSidedARL combines the mean run lengths of an upper and a lower chart that
// run together: fast are those with the headstart, slow those without (equal if
// there is none). Exact when both sides have the same H and K > 0 (Kemp 1961;
// with a headstart Lucas & Crosier 1982).
func TwoSidedARL(fastUpper, slowUpper, fastLower, slowLower float64) float64 {
	return (fastUpper*slowLower + fastLower*slowUpper - slowUpper*slowLower) / (slowUpper + slowLower)
}

// SiegmundARL is Siegmund's approximation (1985) of NormalCUSUM.ARL with head 0.
func (c NormalCUSUM) SiegmundARL(mu float64) float64 {
	d, b := mu-c.K, c.H+1.166
	if d == 0 {
		return b * b
	}
	return (math.Expm1(-2*d*b) + 2*d*b) / (2 * d * d)
}
