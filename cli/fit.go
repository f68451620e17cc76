package cli

import "runproof/fit"

type fitCmd struct {
	Diff fitDiffCmd `cmd:"" help:"Say what is different between two fits."`
	Show fitShowCmd `cmd:"" help:"List a fit node by node."`
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
