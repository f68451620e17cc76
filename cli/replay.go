package cli

import (
	"bytes"
	"io"
	"path/filepath"

	"runproof/alarm"
	"runproof/dossier"
	"runproof/drawing"
	"runproof/drawing/svg"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	alarmreplay "runproof/replay"
	"runproof/review"
)

type replayCmd struct {
	Fit    string        `arg:"" help:"Fit document."`
	Log    string        `arg:"" help:"Flow log of a field day."`
	Rules  []string      `placeholder:"FILE" help:"Rules document to play; name it again for another beside it."`
	Events string        `placeholder:"FILE" help:"Events that runproof review wrote of this log (events.json). Without them the log is reviewed first."`
	Allow  float64       `placeholder:"N" help:"False alarms allowed per 10 h of work in the search for the best rule; the first rules document's if not given."`
	Out    string        `short:"o" required:"" placeholder:"DIR" help:"Folder for replay.json, replay.svg and replay.pdf."`
	Paper  drawing.Paper `default:"a4" help:"Paper of the pages: a4 or letter."`

	meaning
}

func (*replayCmd) Help() string {
	return "Plays alarm rules over a recorded day: which events they would have caught, after how many metres, how many false alarms, and which rule would have been best on that day.\n\n" +
		"Examples:\n  runproof replay fit.json day.parquet --rules rules.json -o replay/\n" +
		"  runproof replay fit.json day.parquet --rules rules.json --rules tighter.json --events review/events.json -o replay/\n\n" +
		"Exit status 1 when an event that lost product on a run was not caught, or the first rules rang more often than they allow, beyond chance."
}

func (c *replayCmd) Run(s *Shell) error {
	if err := c.check(); err != nil {
		return err
	}
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	made := fit.Provenance{By: "runproof replay", From: []fit.Source{fitSrc}}
	books, err := c.books(s, &made)
	if err != nil {
		return err
	}
	events, err := c.events(s, f, books[0].Rules, &made)
	if err != nil {
		return err
	}
	doc, err := c.play(s, f, events, books, &made)
	if err != nil {
		return err
	}
	doc.Made = made
	if err := c.write(s, dossier.ReplayDay{Drill: &f.Drill, Replay: doc, Recording: filepath.Base(c.Log), Paper: c.Paper}); err != nil {
		return err
	}
	c.summarise(s, doc)
	if doc.Attention() {
		s.Attention()
	}
	return s.EmitJSON(doc)
}

func (c *replayCmd) check() error {
	switch {
	case len(c.Rules) == 0:
		return input.Fault{What: "no rules are named", Remedy: "add --rules rules.json, as runproof tune writes one"}
	case c.Allow < 0 || c.Allow > 1e6 || c.Allow != c.Allow:
		return input.Fault{What: "--allow must be above 0", Remedy: "1 in ten hours is usual"}
	case c.Log == "-" && c.Events == "":
		return input.Fault{What: "a log from standard input can be read only once, and without events it is read twice", Remedy: "add --events, or save the log to a file"}
	}
	return nil
}

// books reads the rules to be played.
func (c *replayCmd) books(s *Shell, made *fit.Provenance) ([]alarmreplay.Book, error) {
	var books []alarmreplay.Book
	for _, name := range c.Rules {
		text, src, err := s.ReadInput(name)
		if err != nil {
			return nil, err
		}
		rules, err := alarm.Read(bytes.NewReader(text), name)
		if err != nil {
			return nil, err
		}
		made.From = append(made.From, src)
		books = append(books, alarmreplay.Book{Name: c.called(name), Rules: rules})
	}
	return books, nil
}

// called is the file's own name, or all that was named where two files have
// that name.
func (c *replayCmd) called(name string) string {
	base, n := filepath.Base(name), 0
	for _, other := range c.Rules {
		if filepath.Base(other) == base {
			n++
		}
	}
	if n > 1 {
		return filepath.ToSlash(name)
	}
	return base
}

// events are those of the file, or of a review made now with the rules' shares.
func (c *replayCmd) events(s *Shell, f *fit.Fit, rules *alarm.Rules, made *fit.Provenance) ([]review.Event, error) {
	if c.Events != "" {
		text, src, err := s.ReadInput(c.Events)
		if err != nil {
			return nil, err
		}
		doc, err := review.ReadDocument(bytes.NewReader(text), c.Events)
		if err != nil {
			return nil, err
		}
		made.From = append(made.From, src)
		return doc.Events, nil
	}
	r, _, done, err := c.open(s, c.Log, flowlog.Needs(f))
	if err != nil {
		return nil, err
	}
	defer done()
	bar := s.Progress("samples reviewed")
	res, err := review.Run(f, r, review.Options{Shares: rules.Shares, Progress: bar.Set})
	bar.Done()
	if err != nil {
		return nil, inFile(err, c.Log)
	}
	return res.Events, nil
}

// play reads the log and plays the rules over it.
func (c *replayCmd) play(s *Shell, f *fit.Fit, events []review.Event, books []alarmreplay.Book, made *fit.Provenance) (*alarmreplay.Document, error) {
	r, src, done, err := c.open(s, c.Log, flowlog.Needs(f))
	if err != nil {
		return nil, err
	}
	defer done()
	made.From = append(made.From, src)
	bar := s.Progress("samples played")
	doc, err := alarmreplay.Run(f, events, books, r, alarmreplay.Options{Allowed: c.Allow, Progress: bar.Set})
	bar.Done()
	s.warnOfLoss(r)
	return doc, inFile(err, c.Log)
}

func (c *replayCmd) write(s *Shell, day dossier.ReplayDay) error {
	return s.writeFolder(c.Out, []folderFile{
		{name: "replay.json", fn: day.Replay.Write},
		{name: "replay.svg", fn: func(w io.Writer) error { return svg.Write(w, dossier.Replay(day), svg.Options{Font: svg.Embedded}) }},
		{name: "replay.pdf", fn: func(w io.Writer) error { return dossier.WriteReplay(w, day) }},
	})
}

func (c *replayCmd) summarise(s *Shell, doc *alarmreplay.Document) {
	s.Summary("%s: %.2f h in work, %.1f km, %s", doc.Drill, doc.WorkHours, doc.WorkMetres/1000, plural(len(doc.Rules[0].Events), "event"))
	for _, o := range doc.Rules {
		for _, k := range o.Products {
			s.Summary("%s, %s: below %.0f %% for %.3g s: %d caught, %d not; missed %.0f m of %.0f m; %s", o.Name, k.Product, 100*k.Floor, k.HoldS, k.Caught, k.Missed, k.MissedM, k.TakenM, plural(k.FalseCount, "false alarm"))
		}
		s.Summary("  %s", dossier.FalseWords(o.False))
		for _, e := range o.Events {
			s.Summary("  %3d  %-12s %-8s %s", e.Event, e.Kind, dossier.CatchWhere(e), caughtWords(e))
		}
	}
	for _, p := range doc.Best.Products {
		s.Summary("best on this day for %s: below %.0f %% for %.3g s: %d caught; missed %.0f m; %s", p.Product, 100*p.Floor, p.HoldS, p.Caught, p.MissedM, plural(p.FalseCount, "false alarm"))
	}
	s.Summary("%s", doc.Best.Remark)
	for _, w := range doc.Warnings {
		s.Summary("note: %s", w)
	}
	s.Summary("see %s", filepath.Join(c.Out, "replay.pdf"))
}

func caughtWords(e alarmreplay.Catch) string {
	switch {
	case e.AfterM != nil:
		return "caught after " + metresOrNever(e.AfterM) + " m"
	case e.Why != "":
		return "never: " + e.Why
	}
	return "never"
}
