package airflow

import "math"

// Hose is one way out of a head.
type Hose struct {
	LengthM float64
	BoreM   float64
	Minor   float64 // loss in velocity heads besides friction: about 1 exit + 0.5 entry + bends
}

// Conductance is c in q = c sqrt(2 dp / rho), m2, for a Darcy friction factor:
//
//	c = A / sqrt(K + f L/D)
func (h Hose) Conductance(darcy float64) float64 {
	return area(h.BoreM) / math.Sqrt(h.Minor+darcy*h.LengthM/h.BoreM)
}

// Shares are the parts of a head's air that its hoses take, all having the same
// friction factor: c_i / sum c. All outlets share one pressure difference.
func Shares(hoses []Hose, darcy float64) []float64 {
	c := make([]float64, len(hoses))
	for i, h := range hoses {
		c[i] = h.Conductance(darcy)
	}
	return parts(c)
}

// HeadPa is the pressure difference that drives airM3S through the hoses
// together: rho/2 (Q / sum c)^2.
func HeadPa(hoses []Hose, darcy, airM3S, kgM3 float64) float64 {
	sum := 0.0
	for _, h := range hoses {
		sum += h.Conductance(darcy)
	}
	return kgM3 / 2 * math.Pow(airM3S/sum, 2)
}

// Exponents for SharesByLength.
const (
	ConstantFriction = -1.0 / 2
	BlasiusFriction  = -4.0 / 7 // dp ~ L U^1.75
)

// SharesByLength are the shares of hoses of one bore in which friction is all
// that counts: proportional to L^exponent.
func SharesByLength(lengthsM []float64, exponent float64) []float64 {
	c := make([]float64, len(lengthsM))
	for i, l := range lengthsM {
		c[i] = math.Pow(l, exponent)
	}
	return parts(c)
}

// SmoothShares are the shares of airM3S over smooth hoses, friction by Blasius
// in each at its own speed, rough times that for corrugated ones (2 to 4:
// common practice, no source).
func SmoothShares(hoses []Hose, airM3S float64, gas Gas, rough float64) []float64 {
	share := make([]float64, len(hoses))
	for i := range share {
		share[i] = 1 / float64(len(hoses))
	}
	for range 60 { // the friction factor turns with the eighth root of speed: contracts fast
		for i, h := range hoses {
			re := Reynolds(gas, share[i]*airM3S/area(h.BoreM), h.BoreM)
			share[i] = h.Conductance(rough * DarcyBlasius(re))
		}
		share = parts(share)
	}
	return share
}

// parts are the numbers over their sum.
func parts(c []float64) []float64 {
	sum := 0.0
	for _, v := range c {
		sum += v
	}
	p := make([]float64, len(c))
	for i, v := range c {
		p[i] = v / sum
	}
	return p
}

// CV is the coefficient of variation of shares: their standard deviation, with
// n-1 under the root, over the mean. It is 0 of fewer than two.
func CV(shares []float64) float64 {
	n := float64(len(shares))
	if n < 2 {
		return 0
	}
	sum, squares := 0.0, 0.0
	for _, v := range shares {
		sum += v
	}
	for _, v := range shares {
		squares += (v - sum/n) * (v - sum/n)
	}
	return math.Sqrt(squares/(n-1)) / (sum / n)
}
