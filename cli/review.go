package cli

import (
	"bytes"
	"io"
	"path/filepath"

	"runproof/alarm"
	"runproof/dossier"
	"runproof/drawing"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input/jsondoc"
	"runproof/review"
)

type reviewCmd struct {
	Fit    string        `arg:"" help:"Fit document."`
	Log    string        `arg:"" help:"Flow log of the day (CSV, CSV.gz, CSV.zst or Parquet)."`
	Out    string        `short:"o" required:"" placeholder:"DIR" help:"Folder for events.json, runs.csv, skips.geojson, summary.json, evenness.json and report.pdf."`
	Rules  string        `placeholder:"FILE" help:"Rules document of this drill: its shares tell a run that is low from the first sample on."`
	Assume string        `placeholder:"FILE" help:"What the grower takes crop, yield and prices to be (assumptions.yaml): the report then tells what the skips may cost."`
	Paper  drawing.Paper `default:"a4" help:"Paper of the report: a4 or letter."`

	evennessFlags
	meaning
}

func (*reviewCmd) Help() string {
	return "Finds what was blocked, restricted, starved or only mis-sensed in a recorded field day.\n\n" +
		"Example: runproof review fit.json day.parquet -o review/\n\n" +
		"With --gains, the gains of a catch test (runproof catch), it also tells how even the drill was across its width; without, only how each run changed over the day. " +
		"With --assume, what a grower takes crop and prices to be (runproof cost --blank), it also tells what the skips may cost, and writes cost.json.\n\n" +
		"Exit status 1 when there are events; with --gains also when a run is out of line or changed, or a gain is void."
}

func (c *reviewCmd) Run(s *Shell) error {
	day, err := c.review(s)
	if err != nil {
		return err
	}
	if err := c.write(s, day); err != nil {
		return err
	}
	if len(day.Review.Events) > 0 || len(day.Review.Findings) > 0 || c.Gains != "" && day.Evenness.Attention() {
		s.Attention()
	}
	c.summarise(s, day)
	c.summariseEvenness(s, day.Evenness)
	return s.EmitJSON(day.Review.Document)
}

// review reads fit, rules and log, and reviews the day.
func (c *reviewCmd) review(s *Shell) (dossier.Day, error) {
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return dossier.Day{}, err
	}
	made := fit.Provenance{By: "runproof review", From: []fit.Source{fitSrc}}
	even, err := c.evennessFlags.options(s, &made)
	if err != nil {
		return dossier.Day{}, err
	}
	rules, err := readDocument(s, c.Rules, alarm.Read)
	if err != nil {
		return dossier.Day{}, err
	}
	opt := review.Options{}
	if rules != nil {
		opt.Shares = rules.Shares
	}
	assumed, err := s.readAssumptions(c.Assume, &f.Drill)
	if err != nil {
		return dossier.Day{}, err
	}
	r, src, done, err := c.open(s, c.Log, flowlog.Needs(f))
	if err != nil {
		return dossier.Day{}, err
	}
	defer done()
	bar := s.Progress("samples read")
	opt.Progress = bar.Set
	w := watching(r, f)
	res, err := review.Run(f, w, opt)
	bar.Done()
	s.warnOfLoss(r)
	if err != nil {
		return dossier.Day{}, inFile(err, c.Log)
	}
	day := dossier.Day{Fit: f, Review: res, Recording: filepath.Base(c.Log), Paper: c.Paper}
	even.Faults = faultsOf(f, res.Events)
	if day.Evenness, err = w.day(even); err != nil {
		return dossier.Day{}, inFile(err, c.Log)
	}
	made.From = append(made.From, src)
	day.Evenness.Made = made
	if c.Assume != "" {
		day.Cost, err = costOfDay(f, res, assumed)
	}
	return day, err
}

// write makes every document before it writes the first, so that the folder
// holds all of a review or nothing of it.
func (c *reviewCmd) write(s *Shell, day dossier.Day) error {
	res := day.Review
	type file struct {
		name string
		fn   func(io.Writer) error
		text bytes.Buffer
	}
	files := []file{
		{name: "events.json", fn: func(w io.Writer) error { return jsondoc.Write(w, res.Document) }},
		{name: "runs.csv", fn: res.WriteRuns},
		{name: "skips.geojson", fn: res.WriteSkips},
		{name: "evenness.json", fn: day.Evenness.Write},
		{name: "summary.json", fn: func(w io.Writer) error { return jsondoc.Write(w, res.Summary) }},
		{name: "report.pdf", fn: func(w io.Writer) error { return dossier.WriteReport(w, day) }},
	}
	if day.Cost != nil {
		files = append(files, file{name: "cost.json", fn: func(w io.Writer) error { return jsondoc.Write(w, day.Cost) }})
	}
	for i := range files {
		if err := files[i].fn(&files[i].text); err != nil {
			return err
		}
	}
	if err := s.makeDir(c.Out); err != nil {
		return err
	}
	for i := range files {
		if err := s.WriteFile(filepath.Join(c.Out, files[i].name), func(w io.Writer) error {
			_, err := files[i].text.WriteTo(w)
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}

func (c *reviewCmd) summarise(s *Shell, day dossier.Day) {
	res, sum := day.Review, day.Review.Summary
	s.Summary("%s: %.2f h in work, %.1f km, %.1f ha; %d samples at %.2g s", sum.Drill, sum.WorkHours, sum.WorkMetres/1000, sum.WorkHa, sum.Samples, sum.IntervalS)
	if g := sum.Ground; g != nil {
		for _, p := range g.Products {
			s.Summary("%s: %.2f ha sown, %.2f ha of it twice; %.0f m2 unsown, %.0f m2 of that by events", p.Product, p.SownM2/1e4, p.DoubleM2/1e4, p.UnsownM2, p.ShortM2)
		}
	}
	for _, ev := range res.Events {
		s.Summary("%3d  %-12s %s .. %s  %s", ev.ID, ev.Kind, ev.Start, ev.End, ev.Sentence)
	}
	if len(res.Events) == 0 {
		s.Summary("nothing wrong found")
	}
	for _, f := range res.Findings {
		s.Summary("     %-12s %s", f.Course, f.Sentence)
	}
	if day.Cost != nil {
		s.Summary("may cost: %s", day.Cost.Headline(day.Fit.Drill.Display))
	}
	for _, w := range sum.Warnings {
		s.Summary("note: %s", w)
	}
	s.Summary("see %s", filepath.Join(c.Out, "report.pdf"))
}
