package cli

import (
	"bytes"
	"fmt"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/practice"
	"runproof/walk"
)

type proveCmd struct {
	Fit    string      `arg:"" help:"Fit document."`
	Walk   string      `arg:"" help:"Flow log of the walk (CSV, CSV.gz, CSV.zst or Parquet)."`
	Marks  string      `placeholder:"FILE" help:"Notes of the walk: time,run. Without them the walk is taken to go in plan order."`
	Method walk.Method `default:"auto" placeholder:"METHOD" help:"How runs were made to react: pinch, tap, or auto to see what the recording shows."`
	Out    string      `short:"o" required:"" placeholder:"FILE" help:"Proof document to write."`
	Write  string      `placeholder:"FILE" help:"Also write the fit's next revision, with the map as found."`

	meaning
}

func (*proveCmd) Help() string {
	return "Works out from a recorded walk which port really listens to which run, and how sure that is. " +
		"The notes' clock may differ from the recorder's by up to two minutes.\n\n" +
		"Example: runproof prove fit.json walk.csv --marks marks.csv -o proof.json\n\n" +
		"Exit status 0 only if every sensed run is as planned, and the recording does not show the work-state switch wrong."
}

func (c *proveCmd) Run(s *Shell) error {
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	made := fit.Provenance{By: "runproof prove", From: []fit.Source{fitSrc}}
	opt := walk.Options{Method: c.Method}
	if opt.Marks, err = c.marks(s, f, &made); err != nil {
		return err
	}
	l, err := c.recording(s, &made)
	if err != nil {
		return err
	}
	proof, err := walk.Prove(f, l, opt)
	if err != nil {
		return inFile(err, c.Walk)
	}
	proof.Made = made
	if err := c.write(s, f, proof); err != nil {
		return err
	}
	if c.Out != "-" {
		c.summarise(s, proof)
	}
	if !proof.AllAsPlanned() || proof.WorkState != nil && proof.WorkState.Verdict.Attention() {
		s.Attention()
	}
	return s.EmitJSON(proof)
}

// marks are those of the file; nil when none is named.
func (c *proveCmd) marks(s *Shell, f *fit.Fit, made *fit.Provenance) (*walk.Marks, error) {
	if c.Marks == "" {
		return nil, nil
	}
	text, src, err := s.ReadInput(c.Marks)
	if err != nil {
		return nil, err
	}
	made.From = append(made.From, src)
	runs := make([]drill.RunID, len(f.Map))
	for i, l := range f.Map {
		runs[i] = l.Run
	}
	return walk.ReadMarks(bytes.NewReader(text), c.Marks, runs)
}

// recording is the walk's log: all ports in it, for a tube may be at one that
// the fit does not know, and the work state.
func (c *proveCmd) recording(s *Shell, made *fit.Provenance) (*flowlog.Log, error) {
	r, src, done, err := c.open(s, c.Walk, func(col flowlog.Column) bool { return col.Kind == flowlog.Port || col.Kind == flowlog.Work })
	if err != nil {
		return nil, err
	}
	defer done()
	made.From = append(made.From, src)
	l, err := flowlog.ReadAll(r)
	s.warnOfLoss(r)
	return l, err
}

func (c *proveCmd) write(s *Shell, f *fit.Fit, proof *walk.Proof) error {
	if c.Write != "" {
		links, without := proof.ProvedMap(f)
		why := "map as found by a walk"
		for _, r := range without {
			why += fmt.Sprintf("; %s left out, because %s port %d hears another run", r.Run, r.Planned.Node, r.Planned.Port)
		}
		made := proof.Made
		made.Why = why
		next, err := f.WithMap(links, made)
		if err != nil {
			return err
		}
		next.Checks = practice.Renewed(next)
		if c.Out != "-" {
			for _, r := range worseThan(f.Checks, next.Checks) {
				s.Summary("the map as found, %s: %s", r.Verdict(), r.Text(f.Drill.Display))
			}
		}
		if err := s.WriteFile(c.Write, next.Write); err != nil {
			return err
		}
	}
	return s.WriteFile(c.Out, proof.Write)
}

func (c *proveCmd) summarise(s *Shell, p *walk.Proof) {
	s.Summary("%s by %s: %s as planned", plural(len(p.Runs), "sensed run"), p.Method, count(p, walk.AsPlanned, len(p.Runs)))
	if o := p.ClockOffsetS; o != nil {
		s.Summary("the recorder's clock is %s the notes' (+/- %.1f s)", aheadOf(*o), p.Clock.StandardErrorS)
	}
	for _, r := range p.Runs {
		if r.Verdict != walk.AsPlanned {
			s.Summary("  %-8s %-10s %s (%.4g)", r.Run, r.Verdict, r.Reason, r.Confidence)
		}
	}
	if len(p.Moves) > 0 {
		s.Summary("to restore the plan, %s:", plural(len(p.Moves), "tube"))
		for i, m := range p.Moves {
			s.Summary("  %d. %s", i+1, m.Words)
		}
	}
	for _, r := range p.NotInLog {
		s.Summary("note: the recording lacks %s port %d", r.Node, r.Port)
	}
	for _, r := range p.NotInFit {
		s.Summary("note: the fit gives %s port %d no run", r.Node, r.Port)
	}
	for _, n := range p.Notes {
		s.Summary("note: %s", n)
	}
	if w := p.WorkState; w != nil {
		s.Summary("work state %s: %s", w.Verdict, w.Words)
	}
}

func count(p *walk.Proof, v walk.Verdict, of int) string {
	if n := p.Count(v); n < of {
		return fmt.Sprintf("%d", n)
	}
	return "all"
}

func aheadOf(offsetS float64) string {
	if offsetS < 0 {
		return fmt.Sprintf("%.1f s behind", -offsetS)
	}
	return fmt.Sprintf("%.1f s ahead of", offsetS)
}
