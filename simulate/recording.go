package simulate

import (
	"io"
	"math"
	"math/rand/v2"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/review"
)

// Recording makes a log sample by sample as it is read. It implements
// flowlog.Reader; after the last Read, Truth tells what really happened.
type Recording struct {
	s      *Scenario
	f      *fit.Fit
	schema flowlog.Schema
	start  startTime
	lines  int
	line   int

	motion *drive
	pipes  *plumbing
	ears   []ear
	nodes  []node
	walk   *schedule
	rng    *rand.Rand

	catching *catching
	odo      []float64 // metres in work at every whole second
	sumS     []float64 // by ear: seconds in settled flow, and counts in them
	sumX     []float64
	sumF     []float64 // and particles that went past their openers
	work     bool
	metered  float64 // speed at which the product now arriving was metered
}

// ear is one port's sensor: what it hears and how.
type ear struct {
	link   fit.Link
	hoses  []int   // that it hears
	weight float64 // of each
	sensor sensor
	node   int // index into Recording.nodes
	mute   bool
	fading float64 // part of its count lost in an hour
	faults []*Fault
	held   float64 // counts of lines that were lost
	last   float64 // count before
}

// New makes the recording of a scenario for a fit. The error is input.Faults:
// the scenario does not agree with the fit.
func New(s *Scenario, f *fit.Fit) (*Recording, error) {
	if err := s.Check(f, ""); err != nil {
		return nil, err
	}
	start, err := s.startTime()
	if err != nil {
		return nil, err
	}
	rng := rand.New(rand.NewPCG(s.Seed, 0x52756e70726f6f66))
	r := &Recording{s: s, f: f, start: start, rng: rng, lines: int(math.Round(s.Hours * 3600 / s.IntervalS))}
	own := *s
	if s.Kind == Yard {
		r.walk = newSchedule(s, f, rng)
		r.lines = int(math.Ceil((r.walk.endS + 10) / s.IntervalS))
		own.Faults = append(own.Faults, r.walk.pinches()...)
		own.Law.StartLagS, own.Lags = 0, nil
	}
	r.schema = s.schema(f, start.clock, !s.Recorder.NoPosition, s.Kind.InField())
	r.motion = newDrive(s.Field, &f.Drill, rng)
	r.pipes = newPlumbing(&own, f, rng)
	if s.Kind == Caught {
		r.catching = newCatching(s, f, r.pipes.hoses)
		r.lines = int(math.Ceil(s.Catch.endS() / s.IntervalS))
	}
	r.nodes = newNodes(f)
	r.listen(own.Faults)
	return r, nil
}

// listen gives every port of the map its sensor, and the sensor's faults.
func (r *Recording) listen(faults []Fault) {
	index := map[drill.RunID]int{}
	for k, h := range r.pipes.hoses {
		index[h.ID] = k
	}
	at := map[drill.RunID]int{}
	for c, l := range r.f.Map {
		at[l.Run] = c
		r.ears = append(r.ears, ear{link: l, node: nodeOf(r.nodes, l.Node), hoses: []int{index[l.Run]}, weight: 1, sensor: newSensor(r.s.Law, math.Exp(r.s.Law.GainSD*r.s.made("sensor", l.Run)), r.rng)})
	}
	for _, fs := range r.s.Fading {
		if c, ok := at[fs.Run]; ok {
			r.ears[c].fading = fs.PerHour
		}
	}
	if r.walk != nil {
		r.walk.connect(r.ears, index, at)
	}
	for i := range faults {
		f := &faults[i]
		for c := range r.ears {
			e := &r.ears[c]
			own := (f.Kind == review.SensorLost || f.Kind == review.Noisy) && f.Run == e.link.Run
			if own || f.Kind == review.NoData && f.Node == e.link.Node {
				e.faults = append(e.faults, f)
			}
		}
	}
	r.sumS, r.sumX, r.sumF = make([]float64, len(r.ears)), make([]float64, len(r.ears)), make([]float64, len(r.ears))
}

// Schema implements flowlog.Reader.
func (r *Recording) Schema() flowlog.Schema { return r.schema }

// batchLines is how many lines one Read makes at most.
const batchLines = 2048

// Read implements flowlog.Reader.
func (r *Recording) Read(b *flowlog.Batch) error {
	b.Reset(len(r.schema.Columns))
	for len(b.TimeNS) < batchLines && r.line < r.lines {
		r.next(b)
	}
	if len(b.TimeNS) == 0 {
		return io.EOF
	}
	return nil
}

// next makes one line, which may get lost.
func (r *Recording) next(b *flowlog.Batch) {
	r.line++
	dt := r.s.IntervalS
	t := float64(r.line) * dt
	r.drive(t, dt)
	r.restart(t, dt)
	lost := r.s.Recorder.LostLines > 0 && r.rng.Float64() < r.s.Recorder.LostLines && r.line < r.lines
	for c := range r.ears {
		v := r.hear(&r.ears[c], t, dt)
		r.tally(c, v, dt)
		if lost {
			if v == v {
				r.ears[c].held += v
			}
			continue
		}
		b.Values[c] = append(b.Values[c], v+r.ears[c].held)
		r.ears[c].held = 0
	}
	if lost {
		return
	}
	b.TimeNS = append(b.TimeNS, r.start.ns+int64(math.Round(t*1e9)))
	r.state(b)
}

// drive moves machine and product on to time t.
func (r *Recording) drive(t, dt float64) {
	speed := r.f.Drill.Work.SpeedMPS
	r.work = true
	if r.catching != nil {
		_, called := r.catching.c.at(t)
		r.pipes.step(t, dt, speed, called)
		r.catching.fill(t, dt, r.pipes)
		return
	}
	if r.walk == nil {
		r.motion.step(dt)
		r.work = r.motion.inGround()
		if r.work {
			r.metered = r.motion.speedMPS // what is under way in the hoses was metered before the lift
		}
		speed = r.metered
		for len(r.odo) <= int(t) {
			r.odo = append(r.odo, r.motion.workM)
		}
	} else if r.s.Walk.Method == Tap {
		r.work = false
	}
	r.pipes.step(t, dt, speed, r.work)
	if r.walk != nil && r.s.Walk.Method == Tap {
		r.walk.tap(t, r.pipes.hoses)
	}
}

// hear is the count of the sample that ends at t; NaN = not reported.
func (r *Recording) hear(e *ear, t, dt float64) float64 {
	flow := 0.0
	for _, k := range e.hoses {
		flow += r.pipes.hoses[k].perS * e.weight
	}
	v := 0.0
	if e.fading > 0 {
		e.sensor.seen = math.Pow(1-e.fading, t/3600)
	}
	if !e.mute {
		v = e.sensor.sample(flow, dt, !r.work)
	}
	for _, f := range e.faults {
		if f.active(t) {
			v = e.fail(f, v, flow, dt)
		}
	}
	e.last = v
	if missing := r.s.Recorder.MissingShare; missing > 0 && r.rng.Float64() < missing || t <= r.nodes[e.node].downToS {
		return flowlog.Missing()
	}
	return v
}

// fail is what a sick sensor or silent node makes of a count.
func (e *ear) fail(f *Fault, v, flow, dt float64) float64 {
	switch {
	case f.Kind == review.NoData || f.Kind == review.SensorLost && f.How == ReadsNull:
		return flowlog.Missing()
	case f.Kind == review.Noisy:
		return v + e.sensor.rattle(max(e.sensor.meanPerS(flow), 20)*dt*max(0.5, f.Left))
	case f.How == Sticks:
		if e.last == e.last {
			return e.last
		}
		return v
	case f.How == Trickles:
		return e.sensor.poisson(1.5 * dt)
	}
	return 0
}

// state appends the columns beside the counts.
func (r *Recording) state(b *flowlog.Batch) {
	lat, lon, course := r.motion.place()
	for c := len(r.ears); c < len(r.schema.Columns); c++ {
		col := r.schema.Columns[c]
		v := 0.0
		switch col.Kind {
		case flowlog.Lat:
			v = math.Round(lat*1e8) / 1e8
		case flowlog.Lon:
			v = math.Round(lon*1e8) / 1e8
		case flowlog.Course:
			v = math.Round(course*10) / 10
		case flowlog.Speed:
			v = math.Round(r.motion.speedMPS*100) / 100
		case flowlog.Work:
			if r.work {
				v = 1
			}
		case flowlog.Section:
			v = 1
			for k, sec := range r.pipes.sections {
				if sec.ID == col.Section && r.pipes.shut[k] {
					v = 0
				}
			}
		}
		b.Values[c] = append(b.Values[c], v)
	}
}

// tally keeps what the truth says of each run's usual count.
func (r *Recording) tally(c int, v, dt float64) {
	if v == v && r.work && r.pipes.hoses[r.ears[c].hoses[0]].gate.level == 1 {
		r.sumX[c] += v
		r.sumF[c] += r.pipes.hoses[r.ears[c].hoses[0]].perS * dt
		r.sumS[c] += dt
	}
}

// Truth is what really happened, once the recording has been read to its end.
func (r *Recording) Truth() *Truth {
	t := &Truth{Runproof: "truth/1", Kind: r.s.Kind, Seed: r.s.Seed, IntervalS: r.s.IntervalS, Law: r.s.Law}
	heads := map[drill.HeadID]float64{}
	for c, e := range r.ears {
		if r.sumS[c] > 0 {
			heads[r.pipes.hoses[e.hoses[0]].Head] += r.sumX[c] / r.sumS[c]
		}
	}
	for c, e := range r.ears {
		planned := e.link.Ref()
		rt := RunTruth{Run: e.link.Run, Planned: planned, Found: &planned, Gain: e.sensor.gain, Fading: e.fading}
		if total := heads[r.pipes.hoses[e.hoses[0]].Head]; r.sumS[c] > 0 && total > 0 {
			rt.PerS = r.sumX[c] / r.sumS[c]
			rt.FlowPerS = r.sumF[c] / r.sumS[c]
			rt.Share = rt.PerS / total
		}
		t.Runs = append(t.Runs, rt)
	}
	t.Restarts = r.restarts()
	if r.walk != nil {
		t.ClockOffsetS = r.s.Walk.MarkOffsetS
		r.walk.tell(t, r.start)
		t.Events = []EventTruth{}
		return t
	}
	t.Events = r.s.events(r.f, r.start, func(at float64) float64 {
		if len(r.odo) == 0 {
			return 0
		}
		i := min(max(0, int(at)), len(r.odo)-1)
		return r.odo[i]
	}, r.bareM2)
	return t
}
