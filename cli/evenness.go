package cli

import (
	"io"
	"path/filepath"

	"runproof/dossier"
	"runproof/drawing"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/flowlog"
)

type evennessCmd struct {
	Fit    string        `arg:"" help:"Fit document."`
	Log    string        `arg:"" help:"Flow log of a field day."`
	Events string        `placeholder:"FILE" help:"events.json of the day's review: work in which something was wrong is left out."`
	PDF    string        `name:"pdf" placeholder:"FILE" help:"Pages to write."`
	Paper  drawing.Paper `default:"a4" help:"Paper of the pages: a4 or letter."`
	Out    string        `short:"o" required:"" placeholder:"FILE" help:"Evenness document to write."`

	evennessFlags
	meaning
}

func (*evennessCmd) Help() string {
	return "Tells from the counts of a field day how even the drill was across its width: counts over gains, with what chance and the gains' own error make taken off. " +
		"Sensors differ in gain by tens of percent, so without gains only each run's change over the day is told. runproof review tells the same of every day it reviews.\n\n" +
		"Example: runproof evenness fit.json day.parquet --gains gains.json --events review/events.json -o evenness.json\n\n" +
		"Exit status 1 when a run is out of line, a run's part of its head changed by a tenth or more, a gain is void because its run moved to another port, or blocked fertiliser runs took the others past a published rate."
}

func (c *evennessCmd) Run(s *Shell) error {
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	made := fit.Provenance{By: "runproof evenness", From: []fit.Source{fitSrc}}
	opt, err := c.evennessFlags.options(s, &made)
	if err != nil {
		return err
	}
	events, err := s.eventsOf(c.Events, &made)
	if err != nil {
		return err
	}
	opt.Faults = faultsOf(f, events)
	r, src, done, err := c.open(s, c.Log, flowlog.Needs(f))
	if err != nil {
		return err
	}
	defer done()
	bar := s.Progress("samples read")
	opt.Progress = bar.Set
	doc, err := evenness.Field(f, r, opt)
	bar.Done()
	s.warnOfLoss(r)
	if err != nil {
		return inFile(err, c.Log)
	}
	made.From = append(made.From, src)
	doc.Made = made
	return c.write(s, f, doc)
}

func (c *evennessCmd) write(s *Shell, f *fit.Fit, doc *evenness.FieldDay) error {
	if c.PDF != "" {
		day := dossier.EvennessDay{Fit: f, Evenness: doc, Recording: filepath.Base(c.Log), Paper: c.Paper}
		if err := s.WriteFile(c.PDF, func(w io.Writer) error { return dossier.WriteEvenness(w, day) }); err != nil {
			return err
		}
	}
	if err := s.WriteFile(c.Out, doc.Write); err != nil {
		return err
	}
	if doc.Attention() {
		s.Attention()
	}
	if c.Out != "-" {
		summariseField(s, doc)
	}
	return s.EmitJSON(doc)
}

// summariseProduct says how even a product is, how that stands on published
// scales, and what to know beside it.
func (s *Shell) summariseProduct(id drill.ProductID, says []string, bands []evenness.Band, remarks []string) {
	s.Summary("%s:", id)
	for _, line := range says {
		s.Summary("  %s", line)
	}
	for _, b := range bands {
		s.Summary("  %s", b.Sentence())
	}
	for _, r := range remarks {
		s.Summary("  note: %s", r)
	}
}

func summariseField(s *Shell, doc *evenness.FieldDay) {
	for _, p := range doc.Products {
		s.summariseProduct(p.Product, p.Says, p.Bands, p.Remarks)
	}
	for _, r := range doc.Siblings {
		s.Summary("%s", r.Words)
	}
}
