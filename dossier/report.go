package dossier

import (
	"fmt"
	"io"
	"math"
	"strings"

	"runproof/cost"
	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/measure"
	"runproof/review"
	"runproof/views"
)

// Day is a reviewed recording and what its report needs to name things.
type Day struct {
	Fit       *fit.Fit
	Review    *review.Result
	Cost      *cost.Document     // what its skips may cost; nil = not reckoned
	Evenness  *evenness.FieldDay // how even it was, or how runs changed; nil = not reckoned
	Recording string             // the log's file name, as the reader knows it
	Paper     drawing.Paper
}

// WriteReport makes the report of a day and writes it as PDF. The same day gives the same bytes.
func WriteReport(w io.Writer, day Day) error { return pdf.Write(w, Report(day)) }

// Report makes the report of a day: summary, events with their evidence, runs
// by time, map of the skips, and runs compared.
func Report(day Day) *drawing.Book {
	r := newReport(day)
	r.front()
	r.events()
	r.runsByTime()
	r.mapPage()
	r.bars()
	r.evenness()
	r.cost()
	return r.Close(fmt.Sprintf("Runproof review · %s · %s", views.NameOf(&day.Fit.Drill), day.Recording))
}

// report is a day's report in the making.
type report struct {
	pages
	day   Day
	sum   review.Summary
	clock flowlog.Clock
}

func newReport(day Day) *report {
	r := &report{day: day, sum: day.Review.Summary}
	if _, c, err := flowlog.ParseTime(r.sum.Start); err == nil {
		r.clock = c
	}
	info := drawing.Info{Title: "Review: " + views.NameOf(&day.Fit.Drill), Subject: "What was blocked, restricted, starved or only mis-sensed", Author: "Runproof"}
	r.pages = newPages(info, day.Paper, day.Fit.Drill.Display)
	return r
}

func (r *report) front() {
	r.Styled("Review of a recorded day", drawing.TextStyle{SizePT: 10, Ink: drawing.Soft})
	r.Title(views.NameOf(&r.day.Fit.Drill))
	r.Styled(r.span(), drawing.TextStyle{SizePT: 11}.Bold())
	r.Space(2)
	r.figures(r.facts())
	r.Heading("What was found")
	r.found()
	r.mayCost()
	r.Heading("What this rests on")
	r.basis()
	r.Heading("What it does not say")
	r.Paragraph("Lifted, shut-off and start-up spells are not judged, and closed runs are never skips. Counts of different sensors cannot be compared with each other: how even the drill is across its width takes weighed bags" + r.bagsWords() + ". A missed strip is not a loss of the same part of the harvest: neighbouring rows make up some of it.")
}

// span says which recording and time the report is about.
func (r *report) span() string {
	if r.clock == flowlog.Seconds {
		return fmt.Sprintf("%s, from %s s to %s s", r.day.Recording, r.sum.Start, r.sum.End)
	}
	return fmt.Sprintf("%s, %s to %s", r.day.Recording, plainTime(r.sum.Start), plainTime(r.sum.End))
}

// plainTime makes an RFC 3339 time easier to read, to whole seconds: "2026-05-12 08:14:03 UTC".
func plainTime(s string) string {
	date, rest, ok := strings.Cut(s, "T")
	if !ok {
		return s
	}
	rest, _, _ = strings.Cut(strings.TrimSuffix(rest, "Z"), ".")
	return date + " " + rest + " UTC"
}

func (r *report) facts() []fact {
	s := r.sum
	return []fact{
		{"recorded", hours(s.Hours)},
		{"in work", hours(s.WorkHours)},
		{"travel in work", r.units.Format(measure.Distance, s.WorkMetres)},
		{"area worked", r.units.area(s.WorkHa * 1e4)},
		{"events", fmt.Sprint(len(r.day.Review.Events))},
		{"metres of row short of product", r.units.travel(s.SkipMetres)},
		{"ground short of product", r.units.ground(s.SkipAreaM2)},
		{"readings missing", r.units.Format(measure.Ratio, s.MissingShare)},
	}
}

// hours writes a span as h:mm.
func hours(h float64) string {
	m := int(math.Round(h * 60))
	return fmt.Sprintf("%d:%02d h", m/60, m%60)
}

func (r *report) found() {
	if len(r.day.Review.Events) == 0 {
		r.Paragraph("Nothing wrong was found in what was recorded.")
		return
	}
	var cs []counter
	for _, k := range review.Kinds() {
		n := 0
		for _, ev := range r.day.Review.Events {
			if ev.Kind == k {
				n++
			}
		}
		if n > 0 {
			cs = append(cs, counter{n, kindState(k)})
		}
	}
	r.counters(cs)
}

// basis tells where work state, speed and lags came from, and every warning.
func (r *report) basis() {
	s := r.sum
	r.Item("·", fmt.Sprintf("%d samples, one every %g s; %s in the recording, %.0f s together.", s.Samples, s.IntervalS, one(s.Gaps, "gap"), s.GapS))
	r.Item("·", "Work state from "+s.WorkFrom+"; speed from "+s.SpeedFrom+".")
	for _, l := range s.Lags {
		r.Item("·", fmt.Sprintf("%s starts %.1f s after it is called for and stops %.1f s after it is shut off, as seen in the log.", l.Product, l.StartS, l.StopS))
	}
	if len(s.UnknownPorts) > 0 {
		r.Item("!", "Ports in the recording that the fit does not know: "+strings.Join(s.UnknownPorts, ", ")+".")
	}
	if len(s.MissingRuns) > 0 {
		r.Item("!", "Runs of the fit whose port is not in the recording: "+listing(s.MissingRuns, func(id drill.RunID) string { return string(id) })+".")
	}
	for _, w := range s.Warnings {
		r.Item("!", w)
	}
}

// bagsWords tells that bags were weighed, where the day's evenness rests on them.
func (r *report) bagsWords() string {
	if r.day.Evenness == nil || !r.day.Evenness.Calibrated() {
		return ""
	}
	return " (they were weighed: see the chapter on evenness)"
}
