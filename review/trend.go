package review

import "math"

// lineFit is a straight line through ln(share) over hours in work.
type lineFit struct {
	slope, se float64 // per hour; standard error with neighbours' likeness in it
	nu        float64 // degrees of freedom of its t
	sse       float64 // weighted squares that it leaves
}

// stepFit is one level before a look and another from it on.
type stepFit struct {
	size, se, nu, sse float64
}

// fitLine is weighted least squares; looks weigh as long as they lasted. What
// one look leaves resembles what the next one does (shares wander over minutes),
// so the standard error is widened, and the degrees of freedom are fewer, as
// for a first-order autoregression with that likeness (Bayley & Hammersley
// 1946: n (1-r)/(1+r) independent looks).
func fitLine(looks []look) lineFit {
	var w, wx, wy float64
	for _, n := range looks {
		w, wx, wy = w+n.durS, wx+n.durS*n.workS/3600, wy+n.durS*n.logShare()
	}
	mx, my := wx/w, wy/w
	var sxx, sxy float64
	for _, n := range looks {
		x := n.workS/3600 - mx
		sxx, sxy = sxx+n.durS*x*x, sxy+n.durS*x*(n.logShare()-my)
	}
	l := lineFit{slope: sxy / sxx}
	left := make([]float64, len(looks))
	for k, n := range looks {
		left[k] = n.logShare() - my - l.slope*(n.workS/3600-mx)
		l.sse += n.durS * left[k] * left[k]
	}
	wide, nu := widened(left, 2)
	l.nu, l.se = nu, math.Sqrt(l.sse/float64(len(looks)-2)/sxx*wide)
	return l
}

// bestStep tries every look but the outermost two on each side.
func bestStep(looks []look) (at int, best stepFit) {
	best.sse = math.Inf(1)
	// The squares left are those about the mean of all, less what the two levels
	// explain: each needs only the sums up to it.
	all := levelOfLooks(looks)
	weight, sum := 0.0, 0.0
	for k, n := range looks {
		if k >= 2 && k+2 <= len(looks) {
			if sse := all.sse - sum*sum/weight - sum*sum/(all.weight-weight); sse < best.sse {
				at, best.sse = k, sse
			}
		}
		weight, sum = weight+n.durS, sum+n.durS*(n.logShare()-all.mean)
	}
	if at == 0 {
		return 0, best
	}
	a, b := levelOfLooks(looks[:at]), levelOfLooks(looks[at:])
	best = stepFit{size: b.mean - a.mean, sse: a.sse + b.sse}
	left := make([]float64, len(looks))
	for k, n := range looks {
		left[k] = n.logShare() - a.mean
		if k >= at {
			left[k] = n.logShare() - b.mean
		}
	}
	wide, nu := widened(left, 2)
	best.nu, best.se = nu, math.Sqrt(best.sse/float64(len(looks)-2)*(1/a.weight+1/b.weight)*wide)
	return at, best
}

type lookLevel struct{ mean, weight, sse float64 }

func levelOfLooks(looks []look) lookLevel {
	var l lookLevel
	for _, n := range looks {
		l.weight, l.mean = l.weight+n.durS, l.mean+n.durS*n.logShare()
	}
	l.mean /= l.weight
	for _, n := range looks {
		l.sse += n.durS * (n.logShare() - l.mean) * (n.logShare() - l.mean)
	}
	return l
}

// widened is by how much the variance of a mean grows, and the degrees of
// freedom shrink, because what neighbours leave is alike. Fitting itself makes
// neighbours unlike by about params/n; that is given back.
func widened(left []float64, params int) (factor, nu float64) {
	n := float64(len(left))
	var one, zero float64
	for k := range left {
		zero += left[k] * left[k]
		if k > 0 {
			one += left[k] * left[k-1]
		}
	}
	r := 0.0
	if zero > 0 {
		r = min(0.9, max(0, one/zero+float64(params)/n))
	}
	factor = (1 + r) / (1 - r)
	return factor, max(2, n/factor-float64(params))
}
