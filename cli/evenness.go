package cli

import (
	"runproof/evenness"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/formats"
)

type evennessCmd struct {
	Fit    string `arg:"" help:"Fit document."`
	Log    string `arg:"" help:"Flow log of a field day."`
	Gains  string `placeholder:"FILE" help:"Gains of this drill's sensors, from runproof catch --log. Without them no CV across runs is given."`
	Scales string `placeholder:"FILE" help:"Published scales in place of the built-in ones."`
	Out    string `short:"o" required:"" placeholder:"FILE" help:"Evenness document to write."`
}

func (*evennessCmd) Help() string {
	return "Tells from the counts of a field day how even the drill was across its width: counts over gains, with what chance and the gains' own error make taken off. " +
		"Sensors differ in gain by tens of percent, so without gains only each run's change over the day is told.\n\n" +
		"Example: runproof evenness fit.json day.parquet --gains gains.json -o evenness.json\n\n" +
		"Exit status 1 when a run is out of line, a run's part of its head changed by a tenth or more, or a gain is void because its run moved to another port."
}

func (c *evennessCmd) Run(s *Shell) error {
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	made := fit.Provenance{By: "runproof evenness", From: []fit.Source{fitSrc}}
	opt := evenness.FieldOptions{}
	if opt.Scales, err = tableOr(s, c.Scales, evenness.DefaultScales, evenness.ReadScales, &made); err != nil {
		return err
	}
	if c.Gains != "" {
		none := func() *evenness.Gains { return nil }
		if opt.Gains, err = tableOr(s, c.Gains, none, evenness.ReadGains, &made); err != nil {
			return err
		}
	}
	r, src, done, err := s.OpenLog(c.Log, formats.Only(flowlog.Needs(f)))
	if err != nil {
		return err
	}
	defer done()
	bar := s.Progress("samples read")
	opt.Progress = bar.Set
	doc, err := evenness.Field(f, r, opt)
	bar.Done()
	if err != nil {
		return inFile(err, c.Log)
	}
	made.From = append(made.From, src)
	doc.Made = made
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

func summariseField(s *Shell, doc *evenness.FieldDay) {
	for _, p := range doc.Products {
		s.Summary("%s:", p.Product)
		for _, line := range p.Says {
			s.Summary("  %s", line)
		}
		for _, b := range p.Bands {
			s.Summary("  %s", b.Sentence())
		}
		for _, r := range p.Remarks {
			s.Summary("  note: %s", r)
		}
	}
}
