package cli

import (
	"slices"
	"strconv"
	"strings"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/plan"
	"runproof/practice"
)

type fitCmd struct {
	Diff fitDiffCmd `cmd:"" help:"Say what is different between two fits."`
	Show fitShowCmd `cmd:"" help:"List a fit node by node."`
	Move fitMoveCmd `cmd:"" help:"Let a run listen at another port: the next revision."`
}

type fitDiffCmd struct {
	Before string `arg:"" help:"Fit document before."`
	After  string `arg:"" help:"Fit document after."`
}

func (*fitDiffCmd) Help() string {
	return "Lists in words what is different in the second fit: the drill, the nodes, which run goes to which port. " +
		"Revision and provenance do not count.\n\n" +
		"Example: runproof fit diff planned.json proved.json\n\n" +
		"Exit status 1 when there is a difference."
}

// diffDoc is the result document.
type diffDoc struct {
	Runproof string       `json:"runproof"`
	Before   fit.Source   `json:"before"`
	After    fit.Source   `json:"after"`
	Changes  []fit.Change `json:"changes"`
}

func (c *fitDiffCmd) Run(s *Shell) error {
	a, before, err := s.ReadFit(c.Before)
	if err != nil {
		return err
	}
	b, after, err := s.ReadFit(c.After)
	if err != nil {
		return err
	}
	changes := fit.Diff(a, b)
	for _, ch := range changes {
		s.Summary("%s", ch.Words)
	}
	if len(changes) == 0 {
		s.Summary("no difference")
		changes = []fit.Change{}
	} else {
		s.Attention()
	}
	return s.EmitJSON(diffDoc{"fitdiff/1", before, after, changes})
}

type fitShowCmd struct {
	Fit    string `arg:"" help:"Fit document."`
	Checks bool   `help:"List what every rule says of the fit instead. With --json the list is the result document."`
}

func (*fitShowCmd) Help() string {
	return "Lists what made the fit, and node by node which port listens to which run. " +
		"With --checks the rules on serials, ports, tubes, sensors, caps and places are judged by the document as it stands, also where a run was moved in it or a person has edited it; " +
		"all others say what they said when it was planned. Exit status 1 when one is broken.\n\n" +
		"Example: runproof fit show fit.json\n" +
		"Example: runproof fit show fit.json --checks"
}

func (c *fitShowCmd) Run(s *Shell) error {
	f, _, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	if c.Checks {
		return c.checks(s, f)
	}
	if s.JSON {
		return s.EmitJSON(f)
	}
	return f.WriteList(s.Out)
}

func (c *fitShowCmd) checks(s *Shell, f *fit.Fit) error {
	f.Checks = practice.Renewed(f)
	if f.Checks.Worst() == check.Broken {
		s.Attention()
	}
	var b strings.Builder
	checksTable(&b, f.Checks, f.Drill.Display)
	s.Summary("%s", strings.Trim(b.String(), "\n"))
	return s.EmitJSON(plan.ChecksOf(f))
}

type fitMoveCmd struct {
	Fit   string `arg:"" help:"Fit document."`
	Which string `arg:"" name:"run" help:"Run to move: C-7."`
	Port  string `arg:"" name:"port" help:"Port to move it to: 4103:12."`
	Why   string `placeholder:"TEXT" help:"Why, for the record."`
	Out   string `short:"o" required:"" placeholder:"FILE" help:"Fit document to write, the next revision."`
}

func (*fitMoveCmd) Help() string {
	return "Moves a run to a spare port, as one does where a port has failed. The run keeps its name, and with it its history; the revision before is named in the new one. " +
		"The rules are asked again: exit status 1 where the move breaks one, such as a tube that does not reach.\n\n" +
		"Example: runproof fit move fit.json C-7 4103:12 --why \"port 7 counts nothing\" -o fit-2.json"
}

func (c *fitMoveCmd) Run(s *Shell) error {
	f, src, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	i := strings.LastIndex(c.Port, ":")
	port, err := strconv.Atoi(c.Port[i+1:])
	if i < 1 || err != nil {
		return input.Fault{What: c.Port + " is no port", Remedy: "write the node and the port, such as 4103:12"}
	}
	next, err := f.Move(drill.RunID(c.Which), fit.PortRef{Node: c.Port[:i], Port: port}, fit.Provenance{By: "runproof fit move", From: []fit.Source{src}, Why: c.Why})
	if err != nil {
		return inFile(err, c.Fit)
	}
	next.Checks = practice.Renewed(next)
	if err := s.WriteFile(c.Out, next.Write); err != nil {
		return err
	}
	worse := worseThan(f.Checks, next.Checks)
	if worse.Count(check.Broken) > 0 {
		s.Attention()
	}
	if c.Out != "-" {
		for _, ch := range fit.Diff(f, next) {
			s.Summary("%s", ch.Words)
		}
		for _, r := range worse {
			s.Summary("%s: %s", r.Verdict(), r.Text(f.Drill.Display))
		}
		s.Summary("revision %d in %s", next.Revision, c.Out)
	}
	return s.EmitJSON(next)
}

// worseThan are the results that are broken or tight and say so for the first
// time.
func worseThan(before, after check.Results) check.Results {
	var worse check.Results
	for _, v := range []check.Verdict{check.Broken, check.Tight} {
		for _, r := range after.With(v) {
			if !slices.ContainsFunc(before.With(v), func(b check.Result) bool { return b.String() == r.String() }) {
				worse = append(worse, r)
			}
		}
	}
	return worse
}
