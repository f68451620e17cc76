package evenness

import (
	"errors"
	"io"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
)

// Watch gathers what evenness needs while somebody else reads the log: give it
// every batch in order, then ask for the day.
type Watch struct {
	f     *fit.Fit
	clock flowlog.Clock
	all   map[drill.ProductID]*steady
}

// NewWatch is a watch over a log of that head.
func NewWatch(f *fit.Fit, s flowlog.Schema) *Watch {
	w := &Watch{f: f, clock: s.Clock, all: map[drill.ProductID]*steady{}}
	for _, p := range f.Drill.Products {
		w.all[p.ID] = newSteady(f, s, p.ID)
	}
	return w
}

// Add takes the next samples; it keeps nothing of the batch.
func (w *Watch) Add(b *flowlog.Batch) {
	for _, p := range w.f.Drill.Products {
		if st := w.all[p.ID]; len(st.runs) > 0 {
			st.add(b)
		}
	}
}

// Day says what was gathered, once: the watch is used up. With gains that hold
// it gives the CV between runs; without, how each run's part of its head changed.
// The error is an input.Fault: the log has nothing to do with the fit.
func (w *Watch) Day(opt FieldOptions) (*FieldDay, error) {
	day := &FieldDay{Runproof: FieldVersion, Drill: w.f.Drill.Name, Siblings: blockedSiblings(&w.f.Drill, opt)}
	if opt.Gains != nil {
		day.GainsDay = opt.Gains.Day
	}
	for _, p := range w.f.Drill.Products {
		if st := w.all[p.ID]; len(st.runs) > 0 {
			day.Products = append(day.Products, fieldOf(w.f, p, st, opt, w.clock))
		}
	}
	if len(day.Products) == 0 {
		return nil, input.Fault{What: "no port of the log belongs to a run of the fit", Remedy: "check that fit and log are of the same drill; columns are named <node>:<port>"}
	}
	return day, nil
}

// Field reads a log to its end and says what its counts tell of evenness. The
// error is that of the reader or of Watch.Day.
func Field(f *fit.Fit, r flowlog.Reader, opt FieldOptions) (*FieldDay, error) {
	w := NewWatch(f, r.Schema())
	var b flowlog.Batch
	samples := 0
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			return w.Day(opt)
		}
		if err != nil {
			return nil, err
		}
		w.Add(&b)
		if samples += b.Len(); opt.Progress != nil {
			opt.Progress(samples)
		}
	}
}
