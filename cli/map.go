package cli

type mapCmd struct {
	Fit string `arg:"" help:"Fit document."`
	Out string `short:"o" required:"" placeholder:"FILE" help:"Table to write (CSV)."`
}

func (*mapCmd) Help() string {
	return "Writes which run goes to which port as a table: run, product, head, outlet, row, node, port.\n\n" +
		"Example: runproof map fit.json -o map.csv"
}

func (c *mapCmd) Run(s *Shell) error {
	f, _, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	if err := s.WriteFile(c.Out, f.WriteMap); err != nil {
		return err
	}
	if c.Out != "-" {
		s.Summary("%s in %s", plural(len(f.Map), "sensed run"), c.Out)
	}
	return s.EmitJSON(f.Map)
}
