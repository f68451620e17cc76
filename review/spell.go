package review

import "runproof/measure"

// spell is an event that has begun and is not yet written down.
type spell struct {
	kind    Kind // what it is taken for until it closes
	run     int  // -1 for a head, product or node
	head    int
	product int
	node    int

	startNS   int64
	startDist float64
	endNS     int64 // end of the last frame that shows it
	endDist   float64

	llr      float64
	x, e     float64 // counts seen and expected since the fall was over
	allX     float64 // the same from the start
	allE     float64
	frames   int
	scatter  float64 // sum of the squared, scaled misses of scatterN settled frames
	scatterN int
	rec      float64 // CUSUM for the return of sound flow
	recFrom  int64   // since when that may be
	recDist  float64
	fall     *step // of the siblings, where the event began
	back     *step // and where it ended
	quietBad bool  // counted while nothing flowed
	quietOK  bool  // silent while nothing flowed
	wild     bool  // scatters beyond chance, whatever its mean
	repeats  bool  // one reading repeated beyond chance
	assumed  string
	before   looked  // the run itself, before it began
	after    looked  // and after it ended
	pieces   []piece // of a fault that came and went; nil = all of it
	flick    *flicker
}

// looked is what a run counted and should have over some seconds of work.
type looked struct{ x, e, durS float64 }

// besideS is how far before and after an event its run is looked at.
const besideS = 30

func (l *looked) add(x, e, durS float64) { l.x, l.e, l.durS = l.x+x, l.e+e, l.durS+durS }

func (l looked) evidence() *Looked {
	if l.durS == 0 {
		return nil
	}
	return &Looked{measure.Round(l.durS, 1), measure.Round(l.x, 1), measure.Round(l.e, 1)}
}

// fraction is the part of sound flow seen in the spell.
func (s *spell) fraction() float64 {
	if s.e > 0 {
		return s.x / s.e
	}
	if s.allE > 0 {
		return s.allX / s.allE
	}
	return 0
}

// miss adds a settled frame's squared distance from the spell's own level,
// scaled to mean about 1 for honest counts with variance/mean f.
func (s *spell) miss(x, e, f float64) {
	if e *= s.fraction(); e > 0 {
		s.scatter += min(10, (x-e)*(x-e)/(f*e))
		s.scatterN++
	}
}

// meaningless says that the readings scatter around their own level far more
// than counts do: random numbers, not flow.
func (s *spell) meaningless() bool {
	return s.scatterN >= 20 && s.scatter > 2.2*float64(s.scatterN) && s.fraction() > 0.12
}

// concerns says whether the spell is one of run i: its own, or that of its node,
// head or product.
func (in *inputs) concerns(s *spell, i int) bool {
	r := &in.runs[i]
	switch {
	case s.run >= 0:
		return i == s.run
	case s.kind == NoData:
		return r.node == s.node
	case s.head >= 0:
		return r.head == s.head
	}
	return r.product == s.product
}
