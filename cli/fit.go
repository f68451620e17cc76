package cli

import (
	"strconv"
	"strings"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
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
	Fit string `arg:"" help:"Fit document."`
}

func (*fitShowCmd) Help() string {
	return "Lists what made the fit, and node by node which port listens to which run.\n\n" +
		"Example: runproof fit show fit.json"
}

func (c *fitShowCmd) Run(s *Shell) error {
	f, _, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	if s.JSON {
		return s.EmitJSON(f)
	}
	return f.WriteList(s.Out)
}

type fitMoveCmd struct {
	Fit   string `arg:"" help:"Fit document."`
	Which string `arg:"" name:"run" help:"Run to move: C-7."`
	Port  string `arg:"" name:"port" help:"Port to move it to: 4103:12."`
	Why   string `placeholder:"TEXT" help:"Why, for the record."`
	Out   string `short:"o" required:"" placeholder:"FILE" help:"Fit document to write, the next revision."`
}

func (*fitMoveCmd) Help() string {
	return "Moves a run to a spare port, as one does where a port has failed. The run keeps its name, and with it its history; the revision before is named in the new one.\n\n" +
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
	if err := s.WriteFile(c.Out, next.Write); err != nil {
		return err
	}
	if c.Out != "-" {
		for _, ch := range fit.Diff(f, next) {
			s.Summary("%s", ch.Words)
		}
		s.Summary("revision %d in %s", next.Revision, c.Out)
	}
	return s.EmitJSON(next)
}
