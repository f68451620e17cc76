package review

import (
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/ground"
	"runproof/input"
)

// Options are what a review may be given besides fit and log. The zero value
// is a sound review.
type Options struct {
	// Shares are the runs' shares of their heads from a rules document; they
	// tell a run that is low from the first sample on.
	Shares map[drill.RunID]float64
	// Progress is called now and then with the samples read; nil = not wanted.
	Progress func(samples int)

	runByRun bool // judge no head by the quick way of steady.go: a test's yardstick
}

// The first minutes of work are held back to learn the drill from: about ten
// minutes in the ground, and never more than learnFrames frames, which bounds
// the memory.
const (
	learnWorkS  = 600
	learnFrames = 6000
)

// session is one review in progress.
type session struct {
	in      inputs
	given   map[string]float64
	held    []*frame
	byRun   bool
	heldS   float64
	k       *learned
	det     *detector
	pic     *picture
	rig     ground.Rig
	hoses   ground.Hoses
	trail   *ground.Trail
	sowing  *sowing
	tally   tally
	lastNS  int64
	firstNS int64
}

// Run reviews the log against the fit. An error is an input.Fault: the log
// cannot be read, or has nothing to do with the fit.
func Run(f *fit.Fit, r flowlog.Reader, opt Options) (*Result, error) {
	s := &session{in: bind(f, r.Schema()), given: map[string]float64{}, byRun: opt.runByRun}
	for id, v := range opt.Shares {
		s.given[string(id)] = v
	}
	if len(s.in.runs) == 0 {
		return nil, input.Fault{What: "no port of the log belongs to a run of the fit", Remedy: "check that fit and log are of the same drill; columns are named <node>:<port>"}
	}
	s.rig, s.hoses = ground.RigOf(&f.Drill), ground.HosesOf(f)
	s.trail = ground.NewTrail(s.rig)
	if err := s.read(r, opt.Progress); err != nil {
		return nil, err
	}
	return s.result(), nil
}

// read cuts the log into frames in the background and judges them here.
func (s *session) read(r flowlog.Reader, progress func(int)) error {
	c := newCutter(r)
	go c.run(s)
	for m := range c.cut {
		if m.err != nil {
			return m.err
		}
		for _, f := range m.frames {
			s.take(f)
		}
		if progress != nil {
			progress(m.samples)
		}
		c.done <- m.frames
	}
	if s.k == nil {
		s.begin()
	}
	s.settleBulk()
	return nil
}

func (s *session) settleBulk() { s.det.settleBulk(s.pic, &s.tally) }

// take is given each frame once; until the drill is learned they are held.
func (s *session) take(f *frame) {
	if s.k != nil {
		s.step(f)
		return
	}
	s.held = append(s.held, f.clone())
	if f.work {
		s.heldS += f.durS
	}
	if s.heldS >= learnWorkS || len(s.held) >= learnFrames {
		s.begin()
	}
}

// begin learns from the frames held back and goes through them again.
func (s *session) begin() {
	s.k = learn(&s.in, s.held, s.given)
	s.det = newDetector(&s.in, s.k)
	for h := range s.det.lanes {
		s.det.lanes[h].byRun = s.byRun
	}
	s.pic = newPicture(&s.in, s.k)
	s.sowing = newSowing(&s.in, s.k, s.hoses)
	for _, f := range s.held {
		s.step(f)
	}
	s.held = nil
}

func (s *session) step(f *frame) {
	s.pic.turn(f, s.settleBulk)
	s.det.step(f)
	s.pic.add(f, s.det)
	s.trail.Add(f.fix())
	s.sowing.step(f)
	s.tally.frame(f, s.det)
}

func (f *frame) clone() *frame {
	c := *f
	c.open, c.x, c.lost, c.stuck = slices.Clone(f.open), slices.Clone(f.x), slices.Clone(f.lost), slices.Clone(f.stuck)
	c.short = slices.Clone(f.short)
	return &c
}

// interval is the usual time between samples, seconds; 1 where there is only
// one.
func interval(t []int64) float64 {
	if s := flowlog.IntervalS(t); s > 0 {
		return s
	}
	return 1
}
