package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"runproof/alarm"
	"runproof/dossier"
	"runproof/drawing"
	"runproof/drill"
	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/input"
	"runproof/input/jsondoc"
	"runproof/review"
)

type reviewCmd struct {
	Fit   string        `arg:"" help:"Fit document."`
	Log   string        `arg:"" help:"Flow log of the day (CSV, CSV.gz, CSV.zst or Parquet)."`
	Out   string        `short:"o" required:"" placeholder:"DIR" help:"Folder for events.json, runs.csv, skips.geojson, summary.json and report.pdf."`
	Rules string        `placeholder:"FILE" help:"Rules document of this drill: its shares tell a run that is low from the first sample on."`
	Paper drawing.Paper `default:"a4" help:"Paper of the report: a4 or letter."`
}

func (*reviewCmd) Help() string {
	return "Finds what was blocked, restricted, starved or only mis-sensed in a recorded field day.\n\n" +
		"Example: runproof review fit.json day.parquet -o review/\n\n" +
		"Exit status 1 when there are events."
}

func (c *reviewCmd) Run(s *Shell) error {
	f, _, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	opt := review.Options{}
	if opt.Shares, err = s.readShares(c.Rules); err != nil {
		return err
	}
	r, _, done, err := s.OpenLog(c.Log, formats.Only(flowlog.Needs(f)))
	if err != nil {
		return err
	}
	defer done()
	bar := s.Progress("samples read")
	opt.Progress = bar.Set
	res, err := review.Run(f, r, opt)
	bar.Done()
	if err != nil {
		return inFile(err, c.Log)
	}
	day := dossier.Day{Fit: f, Review: res, Recording: filepath.Base(c.Log), Paper: c.Paper}
	if err := c.write(s, day); err != nil {
		return err
	}
	if len(res.Events) > 0 {
		s.Attention()
	}
	c.summarise(s, res)
	return s.EmitJSON(res.Document)
}

// readShares reads the shares of a rules document; none where no file is
// named.
func (s *Shell) readShares(name string) (map[drill.RunID]float64, error) {
	if name == "" {
		return nil, nil
	}
	b, _, err := s.ReadInput(name)
	if err != nil {
		return nil, err
	}
	rules, err := alarm.Read(bytes.NewReader(b), name)
	if err != nil {
		return nil, err
	}
	return rules.Shares, nil
}

// write makes every document before it writes the first, so that the folder
// holds all of a review or nothing of it.
func (c *reviewCmd) write(s *Shell, day dossier.Day) error {
	res := day.Review
	files := []struct {
		name string
		fn   func(io.Writer) error
		text bytes.Buffer
	}{
		{name: "events.json", fn: func(w io.Writer) error { return jsondoc.Write(w, res.Document) }},
		{name: "runs.csv", fn: res.WriteRuns},
		{name: "skips.geojson", fn: res.WriteSkips},
		{name: "summary.json", fn: func(w io.Writer) error { return jsondoc.Write(w, res.Summary) }},
		{name: "report.pdf", fn: func(w io.Writer) error { return dossier.WriteReport(w, day) }},
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

func (c *reviewCmd) summarise(s *Shell, res *review.Result) {
	sum := res.Summary
	s.Summary("%s: %.2f h in work, %.1f km, %.1f ha; %d samples at %.2g s", sum.Drill, sum.WorkHours, sum.WorkMetres/1000, sum.WorkHa, sum.Samples, sum.IntervalS)
	for _, ev := range res.Events {
		s.Summary("%3d  %-12s %s .. %s  %s", ev.ID, ev.Kind, ev.Start, ev.End, ev.Sentence)
	}
	if len(res.Events) == 0 {
		s.Summary("nothing wrong found")
	}
	for _, w := range sum.Warnings {
		s.Summary("note: %s", w)
	}
	s.Summary("see %s", filepath.Join(c.Out, "report.pdf"))
}

// inFile gives a fault without a place the file it is about.
func inFile(err error, name string) error {
	var f input.Fault
	if errors.As(err, &f) && f.Place.File == "" {
		f.Place.File = name
		return f
	}
	return err
}

// Progress is a counter on standard error, shown only on a terminal.
type Progress struct {
	w    io.Writer
	what string
	last int
}

// Progress begins a counter of what.
func (s *Shell) Progress(what string) *Progress {
	p := &Progress{what: what}
	if f, ok := s.Err.(*os.File); ok {
		if st, err := f.Stat(); err == nil && st.Mode()&os.ModeCharDevice != 0 {
			p.w = f
		}
	}
	return p
}

// Set shows the count when it has grown enough to be worth a line.
func (p *Progress) Set(n int) {
	if p.w != nil && n-p.last > 20000 {
		fmt.Fprintf(p.w, "\r%d %s", n, p.what)
		p.last = n
	}
}

// Done ends the line.
func (p *Progress) Done() {
	if p.w != nil && p.last > 0 {
		fmt.Fprintln(p.w)
	}
}
