package replay

import (
	"errors"
	"io"
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
)

// Options are what may be asked of a replay. The zero value asks for nothing
// special.
type Options struct {
	Allowed  float64           // false alarms per 10 h of work for the search; 0 = what the first rules document allows, else 1
	Progress func(samples int) // called now and then with the samples read; nil = not wanted
}

// intervalSamples are the first samples of the log: the sample interval is
// their median.
const intervalSamples = 256

// Run plays the rules over the log, which it reads once, against the events
// that a review of the same log found. The best rule is searched for with the
// shares of the first book. An error is an input.Fault: rules, events, fit and
// log do not go together, or the log cannot be read.
func Run(f *fit.Fit, events []review.Event, books []Book, r flowlog.Reader, opt Options) (*Document, error) {
	if len(books) == 0 {
		return nil, input.Fault{What: "no rules are given to be played", Remedy: "make them with runproof tune"}
	}
	for _, b := range books {
		if err := b.check(); err != nil {
			return nil, err
		}
	}
	bind := flowlog.Bind(r.Schema(), f)
	s := &session{fit: f, bind: bind, layout: layOut(f, bind), books: books, opt: opt, clock: r.Schema().Clock}
	if len(s.layout.runs) == 0 {
		return nil, input.Fault{What: "no port of the log belongs to a run of the fit", Remedy: "check that fit and log are of the same drill; columns are named <node>:<port>"}
	}
	var err error
	if s.targets, err = aim(events, s.layout, s.clock); err != nil {
		return nil, err
	}
	if err := s.read(r); err != nil {
		return nil, err
	}
	return s.document(), nil
}

// session is one replay in progress.
type session struct {
	fit     *fit.Fit
	bind    *flowlog.Binding
	layout  layout
	books   []Book
	opt     Options
	clock   flowlog.Clock
	targets *targets
	machine *machine
	deal    *deal
	players []*player
	grid    *grid
	firstNS int64
}

func (s *session) read(r flowlog.Reader) error {
	var b, head flowlog.Batch
	for {
		err := r.Read(&b)
		end := errors.Is(err, io.EOF)
		if err != nil && !end {
			return err
		}
		switch {
		case s.machine == nil:
			gather(&head, &b)
			if (head.Len() >= intervalSamples || end) && head.Len() > 0 {
				s.begin(&head)
				s.step(&head)
				head = flowlog.Batch{}
			}
		case !end:
			s.step(&b)
		}
		if s.opt.Progress != nil && s.machine != nil {
			s.opt.Progress(s.machine.samples)
		}
		if end {
			break
		}
	}
	if s.machine == nil {
		return input.Fault{What: "the log has no samples", Remedy: "record a day"}
	}
	return nil
}

func gather(to, b *flowlog.Batch) {
	if to.Values == nil {
		to.Reset(len(b.Values))
	}
	to.TimeNS = append(to.TimeNS, b.TimeNS...)
	for c := range b.Values {
		to.Values[c] = append(to.Values[c], b.Values[c]...)
	}
}

func (s *session) begin(first *flowlog.Batch) {
	ns := flowlog.IntervalNS(first.TimeNS[:min(intervalSamples, first.Len())])
	if ns <= 0 {
		ns = 1e9
	}
	s.firstNS = first.TimeNS[0]
	s.machine = newMachine(s.fit, s.bind, ns)
	s.deal = &deal{layout: &s.layout, targets: s.targets, intervalNS: ns, lastNS: s.firstNS - ns}
	for _, b := range s.books {
		s.players = append(s.players, newPlayer(b, s.layout, s.machine.intervalS, s.targets))
	}
	s.grid = newGrid(s.players[0], s.layout, s.targets, s.machine.intervalS)
}

func (s *session) step(b *flowlog.Batch) {
	d := s.deal
	d.take(b)
	s.machine.step(b, d.flow, &d.st)
	s.targets.pass(b.TimeNS, d.st.distM)
	d.call()
	for _, p := range s.players {
		p.play(d)
	}
	s.grid.play(d)
	d.lastNS = b.TimeNS[b.Len()-1]
}

// deal is a batch with all that the players look at. Its memory is used again.
type deal struct {
	layout     *layout
	targets    *targets
	intervalNS int64
	lastNS     int64 // time of the sample before the batch

	n      int
	timeNS []int64
	values [][]float64
	flow   []float64 // of all watched runs, by sample
	st     states
	ons    [][]bool  // by run: called for, by sample
	onNS   [][]int64 // by run: since when
	began  []int64   // by run: since when at the end of the batch before; 0 while off
	wasOn  []bool
	shared []int // by run: the run before it with the same sections, or itself
}

func (d *deal) take(b *flowlog.Batch) {
	d.n, d.timeNS, d.values = b.Len(), b.TimeNS, b.Values
	d.flow = slices.Grow(d.flow[:0], d.n)[:d.n]
	clear(d.flow)
	for r := range d.layout.runs {
		for i, v := range d.counts(r) {
			if v == v {
				d.flow[i] += v
			}
		}
	}
}

func (d *deal) counts(r int) []float64 { return d.values[d.layout.runs[r].column] }
func (d *deal) on(r int) []bool        { return d.ons[r] }

// sinceNS is when sample i began.
func (d *deal) sinceNS(i int) int64 { return d.timeNS[i] - d.intervalNS }

// prevNS is the time of the sample before i.
func (d *deal) prevNS(i int) int64 {
	if i == 0 {
		return d.lastNS
	}
	return d.timeNS[i-1]
}

// call says for each run and sample whether it is to sow, and since when. Runs
// with the same sections share one answer.
func (d *deal) call() {
	if d.ons == nil {
		n := len(d.layout.runs)
		d.ons, d.onNS, d.began, d.wasOn, d.shared = make([][]bool, n), make([][]int64, n), make([]int64, n), make([]bool, n), make([]int, n)
		for r := range d.shared {
			d.shared[r] = slices.IndexFunc(d.layout.runs, func(w watched) bool { return slices.Equal(w.sections, d.layout.runs[r].sections) })
		}
	}
	for r, like := range d.shared {
		if like != r {
			d.ons[r], d.onNS[r] = d.ons[like], d.onNS[like]
			continue
		}
		d.ons[r] = slices.Grow(d.ons[r][:0], d.n)[:d.n]
		d.onNS[r] = slices.Grow(d.onNS[r][:0], d.n)[:d.n]
		for i := range d.n {
			on := d.st.work[i]
			for _, k := range d.layout.runs[r].sections {
				on = on && d.st.open[k][i]
			}
			if on && !d.wasOn[r] {
				d.began[r] = d.sinceNS(i)
			}
			d.ons[r][i], d.onNS[r][i], d.wasOn[r] = on, d.began[r], on
		}
	}
}

// products are the watched runs' products, in the drill's order, with how many
// runs each has.
func (l *layout) products(f *fit.Fit) (ids []drill.ProductID, runs []int) {
	for _, p := range f.Drill.Products {
		n := 0
		for _, r := range l.runs {
			if r.Product == p.ID {
				n++
			}
		}
		if n > 0 {
			ids, runs = append(ids, p.ID), append(runs, n)
		}
	}
	return ids, runs
}
