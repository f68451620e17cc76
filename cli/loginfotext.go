package cli

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"runproof/flowlog"
)

// print says it for the person.
func (d *logInfo) print(s *Shell, sum *flowlog.Summary) {
	if d.Damage != "" {
		s.Summary("The log is damaged; this is what stands before the damage.")
	}
	s.Summary("%s, %s to %s, %s", plural(d.Samples, "sample"), d.Start, d.End, span(sum.EndNS-sum.StartNS))
	if d.Samples > 1 {
		s.Summary("interval %s s, nine in ten from %s to %s s", short(d.IntervalS), short(d.Interval05S), short(d.Interval95S))
		d.printGaps(s)
	}
	s.Summary("%s, %s", plural(len(d.Ports), "port"), d.reported())
	if d.Work != nil {
		s.Summary("work state known in %s of samples, in the ground in %s of those", percent(d.Work.Known), percent(d.Work.InGround))
	}
	if d.Position != nil {
		s.Summary("position known in %s of samples", percent(d.Position.Known))
	}
	if d.Sections > 0 {
		s.Summary("states of %s", plural(d.Sections, "section"))
	}
	if d.Others > 0 {
		s.Summary("%s without a meaning here", plural(d.Others, "other column"))
	}
	d.printFit(s)
	d.printPicture(s, sum.Strip)
}

func (d *logInfo) printGaps(s *Shell) {
	if d.Gaps == 0 {
		s.Summary("no gaps")
		return
	}
	s.Summary("%s, about %s lost; the longest:", plural(d.Gaps, "gap"), plural(d.LostSamples, "sample"))
	for _, g := range d.LongestGaps[:min(len(d.LongestGaps), 5)] {
		s.Summary("  %s s after %s", short(g.LengthS), g.After)
	}
}

// reported says how much the ports left out, and which left out most.
func (d *logInfo) reported() string {
	if d.MissingShare == 0 {
		return "every sample reported"
	}
	var silent []string
	worst := d.Ports[0]
	for _, p := range d.Ports {
		if p.Missing == 1 {
			silent = append(silent, p.label())
		}
		if p.Missing > worst.Missing {
			worst = p
		}
	}
	text := percent(d.MissingShare) + " of their samples not reported; "
	if len(silent) > 0 {
		return text + "nothing at all from " + some(silent, 8)
	}
	return text + fmt.Sprintf("most from %s, %s", worst.label(), percent(worst.Missing))
}

func (p port) label() string {
	if p.Run == "" {
		return p.Name
	}
	return fmt.Sprintf("%s (%s)", p.Name, p.Run)
}

func (d *logInfo) printFit(s *Shell) {
	if len(d.UnknownPorts) > 0 {
		s.Summary("not in the fit: %s", some(d.UnknownPorts, 12))
	}
	if len(d.SparePorts) > 0 {
		s.Summary("spare in the fit: %s", some(d.SparePorts, 12))
	}
	if len(d.MissingRuns) > 0 {
		var runs []string
		for _, m := range d.MissingRuns {
			runs = append(runs, fmt.Sprintf("%s (%s)", m.Run, m.Port))
		}
		s.Summary("not in the log: %s", some(runs, 12))
	}
}

// printPicture draws each line over time, as high as a share of its own greatest
// mean.
func (d *logInfo) printPicture(s *Shell, strip *flowlog.Strip) {
	if len(strip.Lines) == 0 {
		return
	}
	wide := 0
	for _, l := range strip.Lines {
		wide = max(wide, utf8.RuneCountInString(l.Name))
	}
	s.Summary("\nflow over time, one sign for %s; each line is as high as its own greatest flow", span(strip.BinNS))
	s.Summary("(_ no flow, ? not reported, . no samples)")
	for l, line := range strip.Lines {
		s.Summary("%*s %s", wide, line.Name, bars(strip, l))
	}
}

func bars(strip *flowlog.Strip, line int) string {
	top := 0.0
	for b := range strip.Bins {
		if m := strip.Mean(line, b); m > top {
			top = m
		}
	}
	var text strings.Builder
	for b := range strip.Bins {
		m := strip.Mean(line, b)
		switch {
		case strip.Bins[b].Samples == 0:
			text.WriteByte('.')
		case flowlog.IsMissing(m):
			text.WriteByte('?')
		case m == 0:
			text.WriteByte('_')
		default:
			text.WriteRune([]rune("▁▂▃▄▅▆▇█")[min(int(m/top*8), 7)])
		}
	}
	return text.String()
}

// span is a length of time in the units that fit it.
func span(ns int64) string {
	d := time.Duration(ns)
	switch {
	case d >= time.Minute:
		return d.Round(time.Second).String()
	case d >= time.Second:
		return d.Round(10 * time.Millisecond).String()
	}
	return d.Round(10 * time.Microsecond).String()
}

// short is a number of four digits.
func short(v float64) string { return fmt.Sprintf("%.4g", v) }

// percent rounds towards the middle, so that 100 % and 0 % mean all and none.
func percent(share float64) string {
	switch {
	case share > 0 && share < 0.001:
		return "under 0.1 %"
	case share > 0.999 && share < 1:
		return "over 99.9 %"
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", 100*share), ".0") + " %"
}
