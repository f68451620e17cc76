package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"

	"runproof/alarm"
	"runproof/dossier"
	"runproof/drawing"
	"runproof/drawing/svg"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
	"runproof/season"
)

type seasonCmd struct {
	Fit     string        `arg:"" help:"Fit document."`
	Logs    []string      `arg:"" name:"log" help:"Flow logs of the season's days."`
	Rules   string        `placeholder:"FILE" help:"Rules document of this drill: its shares tell a run that is low from the first sample on."`
	Repairs string        `placeholder:"FILE" help:"What was repaired when (repairs.yaml): before and after are compared."`
	Again   bool          `help:"Review every log again, also those whose review stands in the output folder."`
	Out     string        `short:"o" required:"" placeholder:"DIR" help:"Folder for season.json, runs.csv, season.svg, season.pdf and a document for each day."`
	Paper   drawing.Paper `default:"a4" help:"Paper of the report: a4 or letter."`

	meaning
}

func (*seasonCmd) Help() string {
	return "Puts many recorded days of one drill into one report: how often each run, head and node was in trouble and how long, " +
		"whether it grows worse, what stands out from the rest beyond chance, and what a repair changed.\n\n" +
		"Example: runproof season fit.json days/*.parquet --repairs repairs.yaml -o season/\n\n" +
		"repairs.yaml:\n  runproof: repairs/1\n  repairs:\n  - {run: C-7, date: 2026-05-14, what: new boot}\n  - {head: B, date: 2026-05-20, what: primary hose turned}\n\n" +
		"The logs are reviewed one after another. A log that was reviewed before with the same fit and rules is not read again: its day stands in DIR/days. " +
		"A log that cannot be read is told, and the others go on.\n\n" +
		"Exit status 1 when something stands out or grows worse, or a log was left out."
}

func (c *seasonCmd) Run(s *Shell) error {
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	made := fit.Provenance{By: "runproof season", From: []fit.Source{fitSrc}}
	rules, err := c.ownFile(s, c.Rules, &made)
	if err != nil {
		return err
	}
	opt := review.Options{}
	if rules != nil {
		r, err := alarm.Read(bytes.NewReader(rules), c.Rules)
		if err != nil {
			return err
		}
		opt.Shares = r.Shares
	}
	for _, name := range []string{c.Map, c.DBC} {
		if _, err := c.ownFile(s, name, &made); err != nil {
			return err
		}
	}
	basis := slices.Clone(made.From) // what a day rests on besides its log
	repairs, err := c.repairs(s, f, &made)
	if err != nil {
		return err
	}
	c.Logs = expanded(c.Logs)
	days, unread := c.days(s, f, opt, basis)
	doc, err := c.account(f, days, repairs, unread)
	if err != nil {
		return err
	}
	for _, d := range days {
		made.From = append(made.From, d.From[0])
	}
	doc.Made = made
	if err := c.write(s, dossier.Season{Drill: &f.Drill, Season: doc, Paper: c.Paper}); err != nil {
		return err
	}
	c.summarise(s, doc)
	if doc.Attention() {
		s.Attention()
	}
	return s.EmitJSON(doc)
}

// expanded are the logs, with the files that a pattern such as days/*.parquet
// means in the order of their names: not every shell expands it.
func expanded(names []string) []string {
	var out []string
	for _, name := range names {
		_, err := os.Stat(name)
		found, bad := filepath.Glob(name)
		if err == nil || bad != nil || len(found) == 0 {
			found = []string{name}
		}
		out = append(out, found...)
	}
	return out
}

// ownFile reads a file that is named, and notes it.
func (c *seasonCmd) ownFile(s *Shell, name string, made *fit.Provenance) ([]byte, error) {
	if name == "" {
		return nil, nil
	}
	text, src, err := s.ReadInput(name)
	if err == nil {
		made.From = append(made.From, src)
	}
	return text, err
}

func (c *seasonCmd) repairs(s *Shell, f *fit.Fit, made *fit.Provenance) ([]season.Repair, error) {
	text, err := c.ownFile(s, c.Repairs, made)
	if text == nil || err != nil {
		return nil, err
	}
	return season.ReadRepairs(bytes.NewReader(text), c.Repairs, f)
}

// days reviews the logs one after another, or takes the reviews that stand in
// the folder.
func (c *seasonCmd) days(s *Shell, f *fit.Fit, opt review.Options, basis []fit.Source) (days []season.Day, unread []season.Unread) {
	for i, name := range c.Logs {
		d, err := c.day(s, f, opt, basis, name)
		if err != nil {
			s.Warn("left out: %v", err)
			text := strings.ReplaceAll(err.Error(), name, filepath.Base(name)) // the account is the same wherever the files lie
			unread = append(unread, season.Unread{Recording: filepath.Base(name), Why: strings.ReplaceAll(text, "\n", " ")})
			continue
		}
		s.Warn("%d of %d: %s, %.2f h in work, %s", i+1, len(c.Logs), d.Recording, d.WorkHours, plural(len(d.Events), "event"))
		days = append(days, *d)
	}
	return days, unread
}

// day reviews one log.
func (c *seasonCmd) day(s *Shell, f *fit.Fit, opt review.Options, basis []fit.Source, name string) (*season.Day, error) {
	r, src, done, err := c.open(s, name, flowlog.Needs(f))
	if err != nil {
		return nil, err
	}
	defer done()
	from := append([]fit.Source{src}, basis...)
	kept := filepath.Join(c.Out, "days", src.SHA256[:16]+".json")
	if d := c.known(kept, from); d != nil {
		d.Recording = filepath.Base(name)
		return d, nil
	}
	bar := s.Progress("samples of " + filepath.Base(name))
	opt.Progress = bar.Set
	res, err := review.Run(f, r, opt)
	bar.Done()
	s.warnOfLoss(r)
	if err != nil {
		return nil, inFile(err, name)
	}
	d := season.DayOf(filepath.Base(name), res)
	d.From, d.Program = from, program()
	if err := s.makeDir(filepath.Dir(kept)); err != nil {
		return nil, err
	}
	return &d, s.WriteFile(kept, d.Write)
}

// known is the day that was reviewed before from the same bytes by the same
// program; nil where there is none.
func (c *seasonCmd) known(name string, from []fit.Source) *season.Day {
	if c.Again {
		return nil
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return nil
	}
	d, err := season.ReadDay(bytes.NewReader(text), name)
	if err != nil || d.Program != program() || !slices.EqualFunc(d.From, from, func(a, b fit.Source) bool { return a.SHA256 == b.SHA256 }) {
		return nil
	}
	return d
}

// program tells one build from another where the build says so.
func program() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	var parts []string
	for _, set := range info.Settings {
		if set.Key == "vcs.revision" || set.Key == "vcs.modified" && set.Value == "true" {
			parts = append(parts, strings.Replace(set.Value, "true", "modified", 1))
		}
	}
	return strings.Join(parts, " ")
}

// account makes the season; where not one log was read, what was wrong with
// them is the answer.
func (c *seasonCmd) account(f *fit.Fit, days []season.Day, repairs []season.Repair, unread []season.Unread) (*season.Document, error) {
	if len(days) == 0 && len(unread) > 0 {
		return nil, input.Fault{What: fmt.Sprintf("none of %s could be read", plural(len(unread), "log")), Remedy: "what is wrong with each is told above"}
	}
	doc, err := season.Of(f, days, repairs)
	if err != nil {
		return nil, err
	}
	doc.Unread = append(unread, doc.Unread...)
	if doc.Unread == nil {
		doc.Unread = []season.Unread{}
	}
	return doc, nil
}

func (c *seasonCmd) write(s *Shell, b dossier.Season) error {
	return s.writeFolder(c.Out, []folderFile{
		{name: "season.json", fn: b.Season.Write},
		{name: "runs.csv", fn: b.Season.WriteRuns},
		{name: "season.svg", fn: func(w io.Writer) error { return svg.Write(w, dossier.SeasonGrid(b), svg.Options{Font: svg.Embedded}) }},
		{name: "season.pdf", fn: func(w io.Writer) error { return dossier.WriteSeason(w, b) }},
	})
}

func (c *seasonCmd) summarise(s *Shell, doc *season.Document) {
	s.Summary("%s: %s, %.1f h in work, %.0f ha", doc.Drill, plural(len(doc.Days), "recording"), doc.WorkHours, doc.WorkHa)
	for _, l := range doc.Whole {
		if l.Count > 0 {
			s.Summary("%-8s %s, %.3g in 10 h of work (95 %%: %.3g to %.3g)", l.Trouble, plural(l.Count, "trouble"), 10*l.PerHour.Value, 10*l.PerHour.Low, 10*l.PerHour.High)
		}
	}
	for _, o := range doc.Offenders {
		s.Summary("stands out: %s", o.Says)
	}
	for _, l := range doc.Worse() {
		s.Summary("grows worse: %s, %s: %d troubles in the first half of the work, %d in the second (p %.2g)", l.Place, l.Trouble, l.Trend.Early.Count, l.Trend.Late.Count, l.Trend.Adjusted)
	}
	if len(doc.Offenders)+len(doc.Worse()) == 0 {
		s.Summary("nothing stands out from the rest or grows worse beyond chance")
	}
	for _, r := range doc.Repairs {
		s.Summary("%s, %s: %s", r.Date, known(r.What), r.Says)
	}
	for _, u := range doc.Unread {
		s.Summary("left out: %s", u.Why)
	}
	for _, n := range doc.Notes {
		s.Summary("note: %s", n)
	}
	s.Summary("see %s", filepath.Join(c.Out, "season.pdf"))
}

// known is what was noted of a repair.
func known(what string) string {
	if what == "" {
		return "repaired"
	}
	return what
}
