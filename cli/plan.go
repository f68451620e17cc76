package cli

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"runproof/allocate"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/input/yamldoc"
	"runproof/plan"
)

type planCmd struct {
	Drill   string  `arg:"" help:"Drill description (drill.yaml)."`
	Parts   string  `placeholder:"FILE" help:"Catalogue of parts (parts.yaml) on top of the built-in one."`
	Serials string  `placeholder:"FILE" help:"Serial numbers of the nodes, one a line, in any order. Without it nodes are called N1, N2, ..."`
	Effort  float64 `default:"1" placeholder:"TIMES" help:"Search so many times as long as usual for the best plan and its proof."`
	Stock   string  `placeholder:"FILE" help:"What is on the shelf (stock.csv: part,count,price): the plan takes what is there, and says what must be ordered."`
	Checks  bool    `help:"List what every rule says of the plan: value, limit, margin, source, advice. With --json the list is the result document."`
	Out     string  `short:"o" placeholder:"FILE" help:"Fit document to write; needed unless --checks only asks."`
}

func (*planCmd) Help() string {
	return "Plans the whole fit. Which node serves which runs from which port: fewest nodes, then fewest pairs of node and head, then least tube. " +
		"Then the harness along the frame, the volts at every box, the fuse, the bus, the places of gateway and antenna, the work-state switch, the air, and the kit. " +
		"Every rule is a named check; exit status 1 when one is broken.\n\n" +
		"Example: runproof plan drill.yaml --serials serials.txt -o fit.json\n" +
		"Example: runproof plan drill.yaml --checks"
}

// Validate wants at least one thing to be done.
func (c *planCmd) Validate() error {
	if c.Out == "" && !c.Checks {
		return errors.New("missing flags: --out=FILE (or --checks, to ask only)")
	}
	return nil
}

func (c *planCmd) Run(s *Shell) error {
	text, src, err := s.ReadInput(c.Drill)
	if err != nil {
		return err
	}
	d, err := drill.Read(bytes.NewReader(text), c.Drill)
	if err != nil {
		return err
	}
	made := fit.Provenance{By: "runproof plan", From: []fit.Source{src}}
	cat, partsSrc, err := s.readCatalogue(c.Parts)
	if err != nil {
		return err
	}
	made.From = append(made.From, partsSrc...)
	serials, err := c.serials(s, &made)
	if err != nil {
		return err
	}
	shelf, err := s.readShelf(c.Stock, cat, &made)
	if err != nil {
		return err
	}
	o, err := plan.Make(d, cat, plan.Options{Serials: serials, Effort: c.work(), Shelf: shelf}, made)
	if err != nil {
		return c.placed(err, text)
	}
	if c.Out != "" {
		if err := s.WriteFile(c.Out, o.Fit.Write); err != nil {
			return err
		}
	}
	if o.Fit.Checks.Worst() == check.Broken {
		s.Attention()
	}
	if c.Out != "-" {
		c.summarise(s, o)
	}
	if c.Checks {
		return s.EmitJSON(plan.ChecksOf(o.Fit))
	}
	return s.EmitJSON(o.Fit)
}

// work is the limit on the search.
func (c *planCmd) work() int64 {
	return int64(min(max(c.Effort, 0), 1e6) * allocate.Effort)
}

// serials are those of the file; nil when none is named.
func (c *planCmd) serials(s *Shell, made *fit.Provenance) ([]string, error) {
	if c.Serials == "" {
		return nil, nil
	}
	text, src, err := s.ReadInput(c.Serials)
	if err != nil {
		return nil, err
	}
	made.From = append(made.From, src)
	serials, err := fit.ReadSerials(bytes.NewReader(text), c.Serials)
	if serials == nil {
		serials = []string{} // an empty list is too short; nil would mean "call them N1, N2, ..."
	}
	return serials, err
}

// placed says where in the drill's description a fault of the plan stands.
func (c *planCmd) placed(err error, text []byte) error {
	var key allocate.KeyFault
	if errors.As(err, &key) {
		key.Fault.Place = placeOf(text, c.Drill, "sensing", key.Key)
		return key.Fault
	}
	var f input.Fault
	if errors.As(err, &f) && c.Serials != "" {
		f.Place.File = c.Serials
		return f
	}
	return err
}

// placeOf is where a path of keys stands in a drill's description.
func placeOf(text []byte, name string, path ...any) input.Place {
	doc, err := yamldoc.Parse(bytes.NewReader(text), name)
	if err != nil {
		return input.Place{File: name}
	}
	doc.Decode(new(drill.Drill))
	return doc.At(path...)
}

func (c *planCmd) summarise(s *Shell, o plan.Outcome) {
	f := o.Fit
	a, part := f.Allocation, f.Drill.Sensing.Node
	if len(f.Nodes) > 0 {
		part = f.Nodes[0].Part // the description may leave the choice to the catalogue
	}
	s.Summary("%d sensed runs of %d heads on %s of part %s", len(f.Map), servedHeads(f), plural(a.Nodes, "node"), part)
	s.Summary("%s of node and head, %.1f m of tube, %s free", plural(a.Pairs, "pair"), a.TubeM, plural(f.FreePorts(), "port"))
	s.Summary("%s", a.Bound)
	if n := len(o.Allocation.LeftOver); n > 0 {
		s.Summary("%s left over: %s", plural(n, "serial"), some(o.Allocation.LeftOver, 6))
	}
	if c.Stock != "" {
		orderText(s, f.Kit)
	}
	var b strings.Builder
	if c.Checks {
		checksTable(&b, f.Checks, f.Drill.Display)
	} else {
		findingsText(&b, f.Checks, f.Drill.Display)
	}
	s.Summary("%s", strings.TrimRight(b.String(), "\n"))
	for _, a := range f.Air.Advice {
		if c.Checks || !strings.HasPrefix(a.Do, "know: ") {
			s.Summary("air, %s: %s", some(headIDs(a.Heads), 6), a.Do)
		}
	}
}

func headIDs(ids []drill.HeadID) []string {
	words := make([]string, len(ids))
	for i, id := range ids {
		words[i] = string(id)
	}
	return words
}

func servedHeads(f *fit.Fit) int {
	heads := make(map[drill.HeadID]bool)
	runs := make(map[drill.RunID]drill.HeadID)
	for _, r := range f.Drill.Runs() {
		runs[r.ID] = r.Head
	}
	for _, l := range f.Map {
		heads[runs[l.Run]] = true
	}
	return len(heads)
}

// plural is "1 node" or "2 nodes".
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// some lists words, at most so many.
func some(words []string, most int) string {
	if len(words) <= most {
		return strings.Join(words, ", ")
	}
	return strings.Join(words[:most], ", ") + ", ..."
}
