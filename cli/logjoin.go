package cli

import (
	"errors"
	"fmt"
	"io"
	"math"

	"runproof/align"
	"runproof/drawing/svg"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/input"
	"runproof/views"
)

type logJoinCmd struct {
	Flow     string   `arg:"" help:"Flow log."`
	Position string   `arg:"" help:"Position log: NMEA 0183, GPX, ISO 11783-10, or any log with lat and lon."`
	Out      string   `short:"o" required:"" placeholder:"FILE" help:"Log to write; the end of its name says the format."`
	Offset   *float64 `placeholder:"S" help:"Position log's clock minus the flow log's, seconds; used as it is."`
	Search   float64  `default:"900" placeholder:"S" help:"How far apart the clocks may be, seconds."`
	Fit      string   `placeholder:"FIT" help:"Fit of the drill: its runs are counted, and its reckoned transport lag is taken off."`
	Lag      *float64 `placeholder:"S" help:"Transport lag from meter to sensors, seconds, where it is known: in place of the fit's."`
	Replace  bool     `help:"Position, speed, course and work of the flow log give way to the position log's."`
	Plot     string   `placeholder:"FILE.svg" help:"Draw what the offset rests on."`
	Seed     uint64   `help:"Of the random draws for the interval."`
}

func (*logJoinCmd) Help() string {
	return "Gives a flow log the positions of another recorder whose clock differs. The offset is the position log's clock minus the " +
		"flow log's: what the flow log calls t happened at t + offset of the position log. It is found from speed against speed, work state, flow " +
		"against speed and turns, whatever the logs have, and told with its 95 % interval; --offset sets it. A flow log without dates gets the " +
		"position log's.\n\n" +
		"The offset is sure where its interval reaches no further than a sample of the flow log. It is rough where it reaches further, as it mostly does where " +
		"only flow and the driver's lifts tell of the clock, or where the drill's transport lag is in it.\n\n" +
		"Exit status 1: unsure, for another offset explains the logs nearly as well; or the clocks drift. Where nothing ties the logs together, " +
		"nothing is written.\n\n" +
		"Example: runproof log join day.csv.gz day.nmea --fit fit.json -o joined.csv.gz"
}

// joined is the result document of log join.
type joined struct {
	Runproof string        `json:"runproof"` // joined/1
	Out      string        `json:"out"`
	Inputs   []fit.Source  `json:"inputs"`
	OffsetS  float64       `json:"offset_s"` // position log's clock minus flow log's
	Forced   bool          `json:"forced"`
	Estimate *align.Offset `json:"estimate,omitempty"`
	Rows     int           `json:"rows"`
	Placed   int           `json:"placed"`   // rows that got a position
	Outside  int           `json:"outside"`  // rows before the first fix or behind the last
	InHoles  int           `json:"in_holes"` // rows where fixes are too far apart
	Remarks  []remark      `json:"remarks"`
}

func (c *logJoinCmd) Run(s *Shell) error {
	if err := c.check(s); err != nil {
		return err
	}
	doc := joined{Runproof: "joined/1", Out: c.Out}
	f, err := readDocument(s, c.Fit, fit.Read)
	if err != nil {
		return err
	}
	holeS, err := c.settle(s, f, &doc)
	if err != nil {
		return err
	}
	if err := c.write(s, &doc, holeS); err != nil {
		return err
	}
	c.say(s, &doc)
	if c.Plot != "" && doc.Estimate != nil {
		if err := s.WriteFile(c.Plot, func(w io.Writer) error { return drawOffset(w, doc.Estimate) }); err != nil {
			return err
		}
	}
	return s.EmitJSON(doc)
}

func (c *logJoinCmd) check(s *Shell) error {
	switch {
	case c.Out == "-" && s.JSON:
		return input.Fault{What: "-o - and --json both want standard output", Remedy: "name a file"}
	case c.Flow == "-" || c.Position == "-":
		return input.Fault{What: "a log from standard input can be read only once, and both are read twice", Remedy: "save it to a file and name that"}
	case c.Offset != nil && !(math.Abs(*c.Offset) < math.MaxInt64/1e9):
		return input.Fault{What: fmt.Sprintf("--offset %g is no time", *c.Offset), Remedy: "give seconds"}
	case !(c.Search > 0 && c.Search <= 86400):
		return input.Fault{What: fmt.Sprintf("--search %g is out of range", c.Search), Remedy: "give 1 to 86400 seconds"}
	case c.Lag != nil && !(*c.Lag >= 0 && *c.Lag <= 60):
		return input.Fault{What: fmt.Sprintf("--lag %g is out of range", *c.Lag), Remedy: "give 0 to 60 seconds"}
	case c.Plot != "" && c.Offset != nil:
		return input.Fault{What: "--plot draws what an estimate rests on, and --offset makes none", Remedy: "leave one of them out"}
	}
	return nil
}

// settle finds the offset, or takes that of the person, and says how long a gap
// between fixes may be.
func (c *logJoinCmd) settle(s *Shell, f *fit.Fit, doc *joined) (holeS float64, err error) {
	p, _, closeP, err := s.OpenLog(c.Position, formats.Only(places))
	if err != nil {
		return 0, err
	}
	defer closeP()
	if c.Offset != nil {
		doc.OffsetS, doc.Forced = *c.Offset, true
		intervalS, err := align.IntervalS(p)
		return align.HoleS(intervalS), err
	}
	r, _, closeF, err := s.OpenLog(c.Flow, formats.Only(joins(f)))
	if err != nil {
		return 0, err
	}
	defer closeF()
	o, err := align.Estimate(r, p, align.Options{SearchS: c.Search, Lag: c.lag(f), Seed: c.Seed})
	if err != nil {
		return 0, c.blamed(err)
	}
	if !o.Found() {
		return 0, input.Fault{
			Place: input.Place{File: c.Flow}, What: fmt.Sprintf("nothing in it and in %s ties the two together, and nothing was written", c.Position),
			Remedy: "name the position log of that day, or give the offset with --offset",
		}
	}
	doc.OffsetS, doc.Estimate = o.S, o
	return align.HoleS(o.PositionS), nil
}

// blamed names the file of the log that a fault is of.
func (c *logJoinCmd) blamed(err error) error {
	var of align.PositionFault
	if errors.As(err, &of) {
		return inFile(of.Fault, c.Position)
	}
	return inFile(err, c.Flow)
}

// lag is the transport lag that the person gave, or else the fit's.
func (c *logJoinCmd) lag(f *fit.Fit) *align.Lag {
	if c.Lag != nil {
		return &align.Lag{S: *c.Lag}
	}
	return align.LagOf(f)
}

// places are the columns of a position log that matter.
func places(c flowlog.Column) bool {
	return c.Kind != flowlog.Port && c.Kind != flowlog.Section && c.Kind != flowlog.Other
}

// joins are the columns of a flow log that tell of the offset.
func joins(f *fit.Fit) func(flowlog.Column) bool {
	if f == nil {
		return func(c flowlog.Column) bool { return places(c) || c.Kind == flowlog.Port }
	}
	runs := map[string]bool{}
	for _, l := range f.Map {
		runs[l.Ref().String()] = true
	}
	return func(c flowlog.Column) bool { return places(c) || c.Kind == flowlog.Port && runs[c.Name] }
}

// write joins the logs.
func (c *logJoinCmd) write(s *Shell, doc *joined, holeS float64) error {
	r, fsrc, closeF, err := s.OpenLog(c.Flow)
	if err != nil {
		return err
	}
	defer closeF()
	p, psrc, closeP, err := s.OpenLog(c.Position, formats.Only(places))
	if err != nil {
		return err
	}
	defer closeP()
	doc.Inputs = []fit.Source{fsrc, psrc}
	j := align.Join(r, p, align.JoinOptions{OffsetNS: align.NS(doc.OffsetS), HoleS: holeS, Replace: c.Replace})
	err = s.WriteFile(c.Out, func(w io.Writer) error { return copyLog(c.Out, w, j) })
	if err != nil {
		return err
	}
	doc.Rows, doc.Placed, doc.Outside = j.Rows, j.Placed, j.Outside
	doc.InHoles = j.Rows - j.Placed - j.Outside
	doc.Remarks = []remark{}
	if c.Out == "-" {
		s.warnOfLoss(j) // standard output is the log's
	} else {
		doc.Remarks = s.remarksOf(j)
	}
	return nil
}

// say tells the person, and asks for attention.
func (c *logJoinCmd) say(s *Shell, doc *joined) {
	tell := s.Summary
	if c.Out == "-" {
		tell = s.Warn
	}
	if o := doc.Estimate; o == nil {
		tell("offset %+.3f s as given (position log's clock minus the flow log's)", doc.OffsetS)
	} else {
		tell("offset %+.2f s (position log's clock minus the flow log's), 95 %% interval %+.2f to %+.2f s, %s", o.S, o.LowS, o.HighS, o.Verdict)
		for _, e := range o.Evidence {
			tell("  %-6s %+.2f s, sd %.2f s%s", e.Kind, e.OffsetS, e.SDS, usedWord(e))
		}
		for _, n := range o.Notes {
			tell("%s", n)
		}
		if o.Verdict == align.Unsure || o.Drift != nil && o.Drift.Marked {
			s.Attention()
		}
	}
	tell("%s, %d with a position; %d outside the position log, %d where its fixes are too far apart: %s", plural(doc.Rows, "row"), doc.Placed, doc.Outside, doc.InHoles, c.Out)
	if doc.Placed == 0 {
		s.Warn("no row got a position: check --offset, and that the logs are of one day")
		s.Attention()
	}
}

func usedWord(e align.Evidence) string {
	if e.Used {
		return ", used"
	}
	return ""
}

func drawOffset(w io.Writer, o *align.Offset) error {
	return svg.Write(w, views.Offset(o), svg.Options{Font: svg.Embedded})
}
