package walk

import (
	"math"
)

// sharedPart is what a port counts of the tap on a sensor that hears the same
// run, as parts of what the tapped one counts; crosstalkPart what it feels of
// any other tap through the frame, in units of the most usual in this walk.
var (
	sharedPart    = []float64{0.4, 0.6, 0.8, 1, 1.3, 1.8}
	crosstalkPart = []float64{0, 0.4, 0.8, 1.2, 1.6}
)

const (
	crosstalkUnknown = 0.12 // the most usual, where the walk does not tell
	crosstalkLeast   = 0.03
	crosstalkCounts  = 30 // a tap of so many counts tells
)

// tapSpread is the relative variance of what two ports count of one tap.
const tapSpread = 0.08

// crosstalk is the most that a neighbour on the same node usually counts of a
// tap, as a part: the median over clear taps.
func (p *prover) crosstalk(bs []belief) float64 {
	var most []float64
	for _, b := range bs {
		col, prob := b.best()
		if prob < 0.9 || b.nats[col] < clearEnough {
			continue
		}
		a := p.start(col, b.atS[0])
		_, n := p.tr.peak(col, a, p.full)
		own := p.excess(col, a, a+n)
		if own < crosstalkCounts {
			continue
		}
		part := 0.0
		for q, port := range p.g.ports {
			if q != col && port.Node == p.g.ports[col].Node {
				part = max(part, p.excess(q, a, a+n)/own)
			}
		}
		most = append(most, part)
	}
	if len(most) < 5 {
		return crosstalkUnknown
	}
	return min(max(quantile(most, 0.5), crosstalkLeast), crosstalkUnknown)
}

// tapRivals weighs, for each other port, "it hears the tapped run too" against
// "it feels the tap through the frame".
func (p *prover) tapRivals(main, a, z int) []rival {
	own := p.excess(main, a, z)
	if own <= 0 {
		return nil
	}
	var rs []rival
	for q := range p.tracks {
		if q == main {
			continue
		}
		x, m := p.counted(q, a, z)
		if x <= m {
			continue
		}
		felt := make([]float64, len(crosstalkPart))
		for i, v := range crosstalkPart {
			felt[i] = v * p.cross * p.keener(main, q)
		}
		bg := p.background(q, a, z)
		nats := logMeanCount(x, m, own, bg, sharedPart) - logMeanCount(x, m, own, bg, felt)
		w := nats + p.priorPartner(main, q)
		if w > -12 {
			rs = append(rs, rival{q, w, nats})
		}
	}
	return rs
}

// keener is how much more port q counts of a tap than port main, going by
// their own taps: sensors differ in gain.
func (p *prover) keener(main, q int) float64 {
	a, b := p.own[main].rateHz, p.own[q].rateHz
	if a <= 0 || b <= 0 {
		return 1
	}
	return min(max(b/a, 0.4), 2.5)
}

// background is the relative variance of what a port counts untouched from
// step a to z. The spread measured where next to nothing is counted means
// little, so it is held below what swirling air gives.
func (p *prover) background(col, a, z int) float64 {
	const most = 0.1
	bins := float64(z-a) / float64(p.tr.parts)
	return min(p.ex[col].phi, most) / max(1, bins)
}

// faintPart is what a sensor may count of a tap elsewhere, directPart what of
// its own, as parts of what a tap usually adds.
var (
	faintPart  = []float64{0.02, 0.05, 0.08, 0.12}
	directPart = []float64{0.3, 0.5, 0.8, 1.2, 2, 3}
)

// priorFelt is the prior probability that a burst of a port which no run of
// its own explains is what it felt of a tap on a dead sensor.
const priorFelt = 0.3

// directly holds the evidence that the tap on a run shows at port col down to
// what is left of it once the burst may be merely felt through the frame. A
// port that bursts far more at another time has its own tap there; at a port
// that is not the run's planned one a burst far below the usual is no tap
// either.
func (p *prover) directly(run, col, a int, nats float64) float64 {
	_, n := p.tr.peak(col, a, p.full)
	x, m := p.counted(col, a, a+n)
	usual := p.burst[col]
	if p.runs[run].col != col {
		usual = max(usual, p.full.typical)
	}
	usual *= float64(n) * p.tr.stepS
	if usual < 2*(x-m) {
		return nats // nothing to hold it against
	}
	bg := p.background(col, a, a+n)
	direct := logMeanCount(x, m, usual, bg, directPart) - logMeanCount(x, m, usual, bg, faintPart)
	return min(nats, direct-math.Log(priorFelt))
}

func (p *prover) excess(col, a, z int) float64 {
	x, m := p.counted(col, a, z)
	return x - m
}

// counted is what the port counted from step a to z, and should have untouched.
func (p *prover) counted(col, a, z int) (x, m float64) {
	for i := a / p.tr.parts; i*p.tr.parts < min(z, p.tr.steps()); i++ {
		x += float64(p.g.x[col][i])
		m += max(float64(p.ex[col].mean[i]), quietTapRate*float64(p.g.e[col][i]))
	}
	return x, m
}

// logMeanCount is ln of the likelihood of a count x about m + part own,
// averaged over the parts, up to a constant in x; bg is the relative variance
// of the background m.
func logMeanCount(x, m, own, bg float64, parts []float64) float64 {
	acc := math.Inf(-1)
	for _, part := range parts {
		mu := m + part*own
		phi := tapSpread*(part*own/mu)*(part*own/mu) + bg*(m/mu)*(m/mu)
		acc = logAdd(acc, logCount(x, mu, phi))
	}
	return acc - math.Log(float64(len(parts)))
}

// logCount is the negative binomial ln likelihood of x with mean mu and
// variance mu + phi mu^2, without the terms in x alone.
func logCount(x, mu, phi float64) float64 {
	if phi < 1e-9 {
		return x*math.Log(mu) - mu
	}
	theta := 1 / phi
	a, _ := math.Lgamma(x + theta)
	b, _ := math.Lgamma(theta)
	return a - b + x*math.Log(mu/(mu+theta)) + theta*math.Log(theta/(mu+theta))
}
