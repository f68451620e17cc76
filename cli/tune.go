package cli

import (
	"slices"
	"strconv"

	"runproof/alarm"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
)

type tuneCmd struct {
	Fit         string  `arg:"" help:"Fit document."`
	Baseline    string  `arg:"" help:"Flow log of sound work, twenty minutes or more."`
	FalseAlarms float64 `default:"1" placeholder:"N" help:"False alarms allowed per 10 h of work, for the whole drill."`
	Speed       float64 `placeholder:"MPS" help:"Speed at which metres are reckoned, m/s; the drill's usual speed if not given."`
	Out         string  `short:"o" required:"" placeholder:"FILE" help:"Rules document to write."`

	meaning
}

func (*tuneCmd) Help() string {
	return "Designs alarm rules from the drill's own flow: floor and hold for each product, with what they will do.\n\n" +
		"Example: runproof tune fit.json baseline.csv.gz --false-alarms 1 -o rules.json"
}

func (c *tuneCmd) Run(s *Shell) error {
	if !(c.FalseAlarms > 0) || c.FalseAlarms > 1e6 {
		return input.Fault{What: "--false-alarms must be above 0", Remedy: "1 in ten hours is usual"}
	}
	if c.Speed < 0 || c.Speed > 20 {
		return input.Fault{What: "--speed is in m/s and must lie between 0 and 20", Remedy: "8 km/h is 2.2 m/s"}
	}
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	r, logSrc, done, err := c.open(s, c.Baseline, flowlog.Needs(f))
	if err != nil {
		return err
	}
	defer done()
	l, err := flowlog.ReadAll(r)
	if err != nil {
		return err
	}
	s.warnOfLoss(r)
	rules, err := alarm.Tune(f, l, alarm.Options{FalseAlarms: c.FalseAlarms, SpeedMPS: c.Speed})
	if err != nil {
		return inFile(err, c.Baseline)
	}
	rules.Made = fit.Provenance{By: "runproof tune", From: []fit.Source{fitSrc, logSrc}}
	if err := s.WriteFile(c.Out, rules.Write); err != nil {
		return err
	}
	c.summarise(s, rules)
	return s.EmitJSON(rules)
}

func (c *tuneCmd) summarise(s *Shell, r *alarm.Rules) {
	s.Summary("%.1f h of settled work at %.3g s; %.3g false alarms allowed in 10 h", r.WorkHours, r.IntervalS, r.Allowed)
	for _, w := range r.Rules {
		s.Summary("%s: below %.0f %% of its share for %.3g s; %.2g false alarms in 10 h; travels %s m before it sounds for a blocked run, %s m for one at half flow",
			w.Product, 100*w.Floor, w.HoldS, w.FalseAlarmsPerDay, metresOrNever(w.Missed.Blocked), metresOrNever(w.Missed.Half))
		i := slices.IndexFunc(r.Best, func(y alarm.Yardstick) bool { return y.Product == w.Product })
		if i >= 0 {
			s.Summary("  the best possible test would take %s and %s m", metresOrNever(r.Best[i].Missed.Blocked), metresOrNever(r.Best[i].Missed.Half))
		}
	}
	for _, o := range r.OtherRules {
		s.Summary("  %s, %s: below %.0f %% for %.3g s; %s and %s m", o.Product, o.Style, 100*o.Floor, o.HoldS, metresOrNever(o.Missed.Blocked), metresOrNever(o.Missed.Half))
	}
	for _, t := range r.Totals {
		s.Summary("%s", t.Says)
	}
	for _, w := range r.Warnings {
		s.Summary("note: %s", w)
	}
	if len(r.Warnings) > 0 || slices.ContainsFunc(r.Validation, func(v alarm.Validation) bool { return !v.Agrees }) {
		s.Attention()
	}
}

func metresOrNever(v *float64) string {
	if v == nil {
		return "practically unlimited"
	}
	return strconv.FormatFloat(*v, 'f', 1, 64)
}
