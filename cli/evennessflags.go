package cli

import (
	"fmt"

	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
)

// evennessFlags are what a day's evenness is judged with.
type evennessFlags struct {
	Gains        string  `placeholder:"FILE" help:"Gains of this drill's sensors, from runproof catch --log. Without them no CV across runs is given, only how each run changed."`
	OpenerSpread float64 `placeholder:"M" help:"Width over which the opener spreads seed and fertiliser together, m; absent = what siblings of blocked fertiliser runs got is not judged."`
	Scales       string  `placeholder:"FILE" help:"Published scales of evenness in place of the built-in ones; see runproof schema scales."`
	SafeRates    string  `placeholder:"FILE" help:"Published safe rates in place of the built-in ones; see runproof schema saferates."`
}

// options reads the files that the flags name.
func (e *evennessFlags) options(s *Shell, made *fit.Provenance) (opt evenness.FieldOptions, err error) {
	if err := checkSpread(e.OpenerSpread); err != nil {
		return opt, err
	}
	opt.OpenerSpreadM = e.OpenerSpread
	if opt.Scales, err = tableOr(s, e.Scales, evenness.DefaultScales, evenness.ReadScales, made); err != nil {
		return opt, err
	}
	if opt.SafeRates, err = tableOr(s, e.SafeRates, evenness.DefaultSafeRates, evenness.ReadSafeRates, made); err != nil {
		return opt, err
	}
	opt.Gains, err = tableOr(s, e.Gains, func() *evenness.Gains { return nil }, evenness.ReadGains, made)
	return opt, err
}

func checkSpread(m float64) error {
	if !(m >= 0 && m <= 2) {
		return input.Fault{What: "--opener-spread is in metres, 0 to 2", Remedy: "1 inch is 0.025"}
	}
	return nil
}

// faultsOf are the times of a reviewed day in which runs were not sound.
func faultsOf(f *fit.Fit, events []review.Event) []evenness.Fault {
	var out []evenness.Fault
	for _, ev := range events {
		x := evenness.Fault{Runs: runsOf(f, ev), StartNS: ev.StartNS, EndNS: ev.EndNS, Start: ev.Start}
		if ev.Run != "" && ev.Kind.LosesSeed() {
			x.Lost = ev.Lost
		}
		out = append(out, x)
	}
	return out
}

// runsOf are the runs that an event befell: its own, or all of its node, head or
// product.
func runsOf(f *fit.Fit, ev review.Event) (ids []drill.RunID) {
	for _, r := range f.Drill.Runs() {
		ref, sensed := f.PortOf(r.ID)
		mine := r.Product == ev.Product
		switch {
		case ev.Run != "":
			mine = r.ID == ev.Run
		case ev.Node != "":
			mine = sensed && ref.Node == ev.Node
		case ev.Head != "":
			mine = r.Head == ev.Head
		}
		if mine {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

// eventsOf reads the events of a review again, with their times.
func (s *Shell) eventsOf(name string, made *fit.Provenance) ([]review.Event, error) {
	doc, err := tableOr(s, name, func() *review.Document { return &review.Document{} }, review.ReadDocument, made)
	if err != nil {
		return nil, err
	}
	for i := range doc.Events {
		ev := &doc.Events[i]
		for _, at := range []struct {
			word string
			ns   *int64
		}{{ev.Start, &ev.StartNS}, {ev.End, &ev.EndNS}} {
			if *at.ns, _, err = flowlog.ParseTime(at.word); err != nil {
				return nil, input.Fault{Place: input.Place{File: name}, What: fmt.Sprintf("event %d: %v", ev.ID, err), Remedy: "give events.json as runproof review wrote it"}
			}
		}
	}
	return doc.Events, nil
}

// watched is a reader that shows each batch to a watch while the one who reads
// works on it.
type watched struct {
	flowlog.Reader
	watch *evenness.Watch
	shown chan struct{} // closed when the batch read last was seen; nil = none was
}

// watching lets a watch over the fit's runs see what is read.
func watching(r flowlog.Reader, f *fit.Fit) *watched {
	return &watched{Reader: r, watch: evenness.NewWatch(f, r.Schema())}
}

// Read implements flowlog.Reader. The batch before has been seen when it returns:
// its columns may be used anew.
func (w *watched) Read(b *flowlog.Batch) error { return w.shownAfter(w.Reader.Read, b) }

// ReadNarrow implements flowlog.NarrowReader.
func (w *watched) ReadNarrow(b *flowlog.Batch) error {
	return w.shownAfter(func(b *flowlog.Batch) error { return flowlog.ReadNarrow(w.Reader, b) }, b)
}

// shownAfter shows the watch what read has read.
func (w *watched) shownAfter(read func(*flowlog.Batch) error, b *flowlog.Batch) error {
	w.wait()
	if err := read(b); err != nil {
		return err
	}
	shown := make(chan struct{})
	w.shown = shown
	go func() {
		defer close(shown)
		w.watch.Add(b)
	}()
	return nil
}

func (w *watched) wait() {
	if w.shown != nil {
		<-w.shown
		w.shown = nil
	}
}

// day is what the watch says of all that was read.
func (w *watched) day(opt evenness.FieldOptions) (*evenness.FieldDay, error) {
	w.wait()
	return w.watch.Day(opt)
}

// summariseEvenness says in a line or two what a review's chapter on evenness holds.
func (e *evennessFlags) summariseEvenness(s *Shell, day *evenness.FieldDay) {
	for _, p := range day.Products {
		switch {
		case p.CV != nil:
			s.Summary("evenness of %s: CV between runs %s", p.Product, p.CV.Percent())
			for _, b := range p.Bands {
				s.Summary("  %s", b.Sentence())
			}
		case e.Gains == "":
			s.Summary("evenness of %s: not told across runs, there being no gains from weighed bags (runproof catch --log); %d of %s changed over the day", p.Product, p.Changed, plural(len(p.Runs), "run"))
		default:
			s.Summary("evenness of %s: no CV across runs. %s", p.Product, p.WhyNo)
		}
		for _, o := range p.OutOfLine {
			s.Summary("  %s", o.Words)
		}
		for _, v := range p.Void {
			s.Summary("  %s: %s", v.Run, v.Why)
		}
	}
	for _, r := range day.Siblings {
		s.Summary("%s", r.Words)
	}
}
