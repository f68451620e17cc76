package walk

import (
	"math"
	"slices"
)

// Evidence of one bin is cut off at these sizes, nats: now and then a recorder
// or a sensor writes nonsense in one sample, and one sample must neither make
// a reaction nor hide one.
const (
	mostPerBin     = 8.0
	mostPerTapBin  = 12.0 // a burst is rarer nonsense than a dropout
	leastPinchBin  = -4.6
	leastTapBin    = -4.0 // between two strokes of a finger there is silence
	tapPhi         = 0.3  // relative variance of what one bin counts of a tap
	quietTapRate   = 0.1  // counts/s, least level against which a burst is judged
	startStepAimS  = 0.25
	startStepMostS = 0.3
)

// shape is what a reaction may look like: how strong (the part of the level
// that a pinched run still counts, or what a tap adds, counts/s) and how long
// (in start steps), with the prior weight of each pair, ln.
type shape struct {
	tap      bool
	typical  float64 // what a tap adds in this walk, counts/s
	least    float64 // cut-off of the evidence of one bin against, nats...
	most     float64 // ...and for
	strength []float64
	half     int // strengths from this index on are of a port that hears two runs
	length   []int
	logW     [][]float64 // [strength][length]
}

// pinchFull are pinches of a run whose sensor hears it alone: what is left is
// leak and noise, up to a third of the flow, which a slow fall lifts a little.
var pinchFull = []float64{0.02, 0.08, 0.16, 0.26, 0.38}

// pinchHalf are pinches as a port sees them that hears two runs at once.
var pinchHalf = []float64{0.50, 0.60, 0.70}

// tapAdds are the counts/s that tapping a sensor adds.
var tapAdds = []float64{6, 12, 24, 48, 96, 192, 384, 768}

var (
	pinchLengthS = []float64{1.25, 1.6, 2, 2.5, 3.2, 4, 5, 6.3, 8, 10, 13, 17}
	tapLengthS   = []float64{0.5, 0.8, 1.2, 1.7, 2.4, 3.4, 4.8}
)

// priorHalf is the prior part of pinches that a port hears by half.
const priorHalf = 0.006

// pinchShape is what a pinch may look like.
func pinchShape(t *tracker) shape {
	s := newShape(slices.Concat(pinchFull, pinchHalf), pinchLengthS, t, false)
	s.half = len(pinchFull)
	return s.weighted(even(len(pinchFull)), even(len(s.length)))
}

// even gives n cases the same weight.
func even(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1 / float64(n)
	}
	return w
}

// weighted is the shape with these weights of whole strengths and of lengths;
// strengths by half keep a fixed small part.
func (s shape) weighted(strength, length []float64) shape {
	if n := len(s.strength) - s.half; n > 0 {
		w := make([]float64, 0, len(s.strength))
		for _, v := range strength {
			w = append(w, v*(1-priorHalf))
		}
		for range n {
			w = append(w, priorHalf/float64(n))
		}
		strength = w
	}
	s.logW = nil
	for _, a := range strength {
		w := make([]float64, len(length))
		for j, b := range length {
			w[j] = math.Log(a * b)
		}
		s.logW = append(s.logW, w)
	}
	return s
}

// newShape spreads the prior evenly over strengths and lengths.
func newShape(strength, lengthS []float64, g *tracker, tap bool) shape {
	stepS := g.stepS
	s := shape{tap: tap, strength: strength, most: mostPerBin, least: leastPinchBin * math.Sqrt(max(1, g.g.binS/binAimS))}
	if tap {
		s.least, s.most = leastTapBin*math.Sqrt(max(1, g.g.binS/binAimS)), mostPerTapBin
	}
	for _, l := range lengthS {
		n := max(1, int(math.Round(l/stepS)))
		if k := len(s.length); k == 0 || s.length[k-1] != n {
			s.length = append(s.length, n)
		}
	}
	s.half = len(strength)
	return s.weighted(even(len(strength)), even(len(s.length)))
}

// mean is the expected count of a bin of which the reaction covers the part
// cover, when it would be m without.
func (s shape) mean(m, seconds, strength, cover float64) float64 {
	if s.tap {
		return m + strength*cover*seconds
	}
	return m * (1 - (1-strength)*cover)
}

// bin is the log likelihood ratio of the reaction in one bin: the negative
// binomial law with mean m1 against the same with mean m0, cut off.
func (s shape) bin(x, m0, m1, phi float64) float64 {
	return s.cut(x*math.Log(m1/m0) - (x+1/phi)*math.Log((1+phi*m1)/(1+phi*m0)))
}

func (s shape) cut(ll float64) float64 { return min(max(ll, s.least), s.most) }

// tapShape is the shape of taps that add some typical counts/s.
func tapShape(typical float64, t *tracker) shape {
	var add []float64
	for _, v := range []float64{0.3, 0.5, 0.8, 1.25, 2, 3.2} {
		add = append(add, v*typical)
	}
	s := newShape(add, tapLengthS, t, true)
	s.typical = typical
	return s
}
