package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"runproof/check"
	"runproof/drill"
	"runproof/measure"
)

type drillCmd struct {
	New   drillNewCmd   `cmd:"" help:"Make a commented description from the facts of a phone call."`
	Check drillCheckCmd `cmd:"" help:"Check a description and show the drill at a glance."`
}

type drillCheckCmd struct {
	Drill string `arg:"" help:"Drill description (drill.yaml)."`
}

func (*drillCheckCmd) Help() string {
	return "Reports every fault of the description at its line and column (exit status 2), and what can hardly be so on the drill, " +
		"such as a hose that is too short for its opener (exit status 1).\n\n" +
		"Example: runproof drill check drill.yaml"
}

func (c *drillCheckCmd) Run(s *Shell) error {
	d, _, err := s.ReadDrill(c.Drill)
	if err != nil {
		return err
	}
	o := d.Overview()
	if o.Findings.Count(check.Broken) > 0 {
		s.Attention()
	}
	s.Summary("%s", strings.TrimRight(overviewText(o, d.Display), "\n"))
	return s.EmitJSON(o)
}

// overviewText is the drill at a glance in the units of the system.
func overviewText(o drill.Overview, u measure.System) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %d rows at %s in %d ranks, %s wide; %d runs, %d sensed, %d closed; cart %s\n\n",
		nameOr(o.Name, "This drill"), o.Rows, u.Format(measure.ShortLength, o.SpacingM), o.Ranks,
		u.Format(measure.Length, o.WidthM), o.Runs, o.Sensed, o.Closed, cartWords(o.Cart))
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	productTable(w, o)
	headTable(w, o, u)
	sectionTable(w, o, u)
	w.Flush()
	findingsText(&b, o.Findings, u)
	return b.String()
}

func nameOr(name, other string) string {
	if name == "" {
		return other
	}
	return name
}

func cartWords(p drill.CartPosition) string {
	if p == drill.CartBehind {
		return "behind the drill"
	}
	return "between tractor and drill"
}

func productTable(w *tabwriter.Writer, o drill.Overview) {
	fmt.Fprintln(w, "product\tmaterial\theads\truns\tsensed\tg/s a run\tparticles/s a run\t")
	for _, p := range o.Products {
		sensed := "no"
		if p.Sensed {
			sensed = "yes"
		}
		fmt.Fprintf(w, "%s\t%s\t%d\t%d\t%s\t%s\t%s\t\n", p.ID, nameOr(p.Material, "?"), p.Heads, p.Runs, sensed,
			orQuestion(p.GramsPerS, "%.2f"), orQuestion(p.ParticlesPerS, "%.0f"))
	}
	fmt.Fprintln(w)
}

func orQuestion(v *float64, format string) string {
	if v == nil {
		return "?"
	}
	return fmt.Sprintf(format, *v)
}

func headTable(w *tabwriter.Writer, o drill.Overview, u measure.System) {
	fmt.Fprintln(w, "head\tproduct\toutlets\trows\tahead\tright\tlongest reach\those\t")
	for _, h := range o.Heads {
		hose := "?"
		if h.HoseM > 0 {
			hose = u.Format(measure.Length, h.HoseM)
		}
		fmt.Fprintf(w, "%s\t%s\t%d\t%s\t%s\t%s\t%s\t%s\t\n", h.ID, h.Product, h.Outlets, h.Rows,
			u.Format(measure.Length, h.At.Forward), u.Format(measure.Length, h.At.Right), u.Format(measure.Length, h.ReachM), hose)
	}
	fmt.Fprintln(w)
}

func sectionTable(w *tabwriter.Writer, o drill.Overview, u measure.System) {
	if len(o.Sections) == 0 {
		return
	}
	fmt.Fprintln(w, "section\truns\twidth\t")
	for _, sec := range o.Sections {
		fmt.Fprintf(w, "%s\t%d\t%s\t\n", sec.ID, sec.Runs, u.Format(measure.Length, sec.WidthM))
	}
	fmt.Fprintln(w)
}

// findingsText lists what needs a person, worst first, and counts the rest.
func findingsText(b *strings.Builder, rs check.Results, u measure.System) {
	for _, v := range []check.Verdict{check.Broken, check.Tight} {
		for _, r := range rs.With(v) {
			fmt.Fprintf(b, "%s: %s\n", v, r.Text(u))
		}
	}
	countsText(b, rs)
}
