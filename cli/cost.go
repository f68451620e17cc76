package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"runproof/cost"
	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/input/jsondoc"
	"runproof/review"
)

type costCmd struct {
	Days   []string `arg:"" optional:"" name:"day" help:"Folders that runproof review wrote, one for each day."`
	Fit    string   `required:"" placeholder:"FILE" help:"Fit document of the drill."`
	Assume string   `placeholder:"FILE" help:"What the grower takes crop, yield and prices to be (assumptions.yaml)."`
	Blank  string   `placeholder:"FILE" help:"Write an assumptions file for this drill to fill in, and stop."`
	Seed   uint64   `default:"1" help:"Seed of the draws."`
	Draws  int      `default:"10000" help:"Draws from the ranges of all assumptions, 1000 to 1000000."`
	Out    string   `short:"o" placeholder:"FILE" help:"Cost document to write (JSON)."`
}

func (*costCmd) Help() string {
	return "Estimates what the skips of reviewed days may cost: from how many rows lie side by side short of seed, what neighbours of that crop make up, and the grower's yield and prices. " +
		"Every figure is a range, and every assumption is listed with its source.\n\n" +
		"Examples:\n  runproof cost --fit fit.json --blank assumptions.yaml\n  runproof cost review/ --fit fit.json --assume assumptions.yaml -o cost.json"
}

func (c *costCmd) Run(s *Shell) error {
	f, _, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	if c.Blank != "" {
		if err := s.WriteFile(c.Blank, func(w io.Writer) error { return cost.WriteBlank(w, &f.Drill) }); err != nil || c.Blank == "-" {
			return err
		}
		s.Summary("wrote %s: fill in yield and prices", c.Blank)
		return nil
	}
	if err := c.complete(); err != nil {
		return err
	}
	in := cost.Input{Drill: &f.Drill, Seed: c.Seed, Draws: c.Draws}
	if in.Assumptions, err = s.readAssumptions(c.Assume, &f.Drill); err != nil {
		return err
	}
	for _, dir := range c.Days {
		day, err := cost.ReadDay(os.DirFS(dir), filepath.ToSlash(filepath.Clean(dir)))
		if err == nil {
			err = day.Fits(&f.Drill)
		}
		if err != nil {
			return err
		}
		in.Days = append(in.Days, day)
	}
	doc := cost.Estimate(in)
	if err := s.WriteFile(c.Out, func(w io.Writer) error { return jsondoc.Write(w, doc) }); err != nil {
		return err
	}
	if c.Out != "-" {
		for _, line := range doc.Lines(f.Drill.Display) {
			s.Summary("%s", line)
		}
	}
	return s.EmitJSON(doc)
}

// complete says what is missing on the command line.
func (c *costCmd) complete() error {
	switch {
	case len(c.Days) == 0:
		return input.Fault{What: "no day is named", Remedy: "name the folder that runproof review wrote, or write an empty assumptions file with --blank FILE"}
	case c.Out == "":
		return input.Fault{What: "no file to write is named", Remedy: "add -o cost.json, or -o - for standard output"}
	case c.Draws < 1000 || c.Draws > 1e6:
		return input.Fault{What: fmt.Sprintf("--draws is %d", c.Draws), Remedy: "name 1000 to 1000000"}
	}
	return nil
}

// costOfDay estimates what the skips of a day just reviewed may cost, from the
// strips as they are written, so that it says what runproof cost will say.
func costOfDay(f *fit.Fit, res *review.Result, a cost.Assumptions) (*cost.Document, error) {
	var strips bytes.Buffer
	if err := res.WriteSkips(&strips); err != nil {
		return nil, err
	}
	skips, err := cost.ReadSkips(&strips, "skips.geojson")
	if err != nil {
		return nil, err
	}
	day := cost.Day{Events: res.Events, Skips: skips}
	return cost.Estimate(cost.Input{Drill: &f.Drill, Days: []cost.Day{day}, Assumptions: a, Seed: costSeed}), nil
}

// costSeed is that of the draws where none is named.
const costSeed = 1

// readAssumptions reads what a grower assumes; nothing where no file is named.
func (s *Shell) readAssumptions(name string, d *drill.Drill) (cost.Assumptions, error) {
	if name == "" {
		return cost.Assumptions{}, nil
	}
	b, _, err := s.ReadInput(name)
	if err != nil {
		return cost.Assumptions{}, err
	}
	return cost.ReadAssumptions(bytes.NewReader(b), name, d)
}
