package cli

import (
	"io"
	"strconv"
	"strings"

	"runproof/drill"
	"runproof/input"
	"runproof/measure"
)

type drillNewCmd struct {
	Rows      int                `required:"" help:"Rows of the drill."`
	Spacing   string             `required:"" placeholder:"LENGTH" help:"Row spacing, with unit: 25cm, 10in; metres where none is said."`
	Name      string             `help:"What the drill is called."`
	Products  []string           `default:"seed" placeholder:"ID,..." help:"Products: seed,fert."`
	Materials []string           `placeholder:"WORD,..." help:"What each product is: wheat,urea."`
	Rates     []string           `placeholder:"RATE,..." help:"Rate of each product: 110,80 in kg/ha, or with unit, 98lb/ac."`
	TKW       []float64          `name:"tkw" placeholder:"G,..." help:"Mass of 1000 particles of each product in grams."`
	Shoot     drill.Shoot        `default:"single" placeholder:"WAY" help:"single: all products in the same hoses; double: hoses of its own for each product; mid-row: the second product in a band between each pair of rows."`
	Heads     []int              `placeholder:"N,..." help:"Heads of each product, rows split evenly; one number holds for all."`
	Outlets   string             `placeholder:"N,.../N,..." help:"Outlets in use of each head from left to right, products parted by a slash: 12,12,12,12/20,28."`
	Ranks     int                `help:"Lines of openers across the frame."`
	RankGap   string             `placeholder:"LENGTH" help:"Distance from rank to rank: 60cm."`
	Wings     int                `help:"Folding parts beside the middle one: 2, 4, ..."`
	Sections  int                `help:"Parts of the width that can be shut off."`
	Cart      drill.CartPosition `default:"between" placeholder:"PLACE" help:"Where the air cart rides: between (tractor and drill) or behind (the drill)."`
	GNSS      []string           `name:"gnss" placeholder:"AHEAD,RIGHT" help:"Antenna, from the centre of the front rank: 4m,0."`
	Speed     string             `placeholder:"SPEED" help:"Usual speed: 8km/h, 5mph; m/s where no unit is said."`
	Volts     float64            `help:"Supply voltage."`
	Node      string             `placeholder:"ID" help:"Node part in the catalogue."`
	Hose      string             `placeholder:"LENGTH" help:"Inside diameter of the hoses: 25mm, 1in."`
	Display   drill.Display      `default:"metric" placeholder:"UNITS" help:"metric or us: how numbers are shown."`
	Out       string             `short:"o" required:"" placeholder:"FILE" help:"Description to write."`
}

func (*drillNewCmd) Help() string {
	return "Writes a drill.yaml with a comment on everything that was guessed, to be corrected at the drill.\n\n" +
		"Example: runproof drill new --rows 48 --spacing 25cm --products seed,fert --shoot double --heads 4 --wings 2 -o drill.yaml"
}

func (c *drillNewCmd) Run(s *Shell) error {
	facts, err := c.facts()
	if err != nil {
		return err
	}
	d, remarks, err := drill.New(facts)
	if err != nil {
		return err
	}
	write := func(w io.Writer) error { return d.WriteRemarked(w, remarks) }
	if err := s.WriteFile(c.Out, write); err != nil {
		return err
	}
	if c.Out != "-" {
		s.Summary("%s: %d rows, %d heads, %d runs; lines marked GUESSED and NOT SAID want an answer", c.Out, d.Rows.Count, len(d.Heads), len(d.Runs()))
	}
	return s.EmitJSON(d)
}

// facts turns the flags into facts; all faults at once.
func (c *drillNewCmd) facts() (drill.Facts, error) {
	p := flagParser{}
	f := drill.Facts{
		Name: c.Name, Display: c.Display, Rows: c.Rows, Shoot: c.Shoot, Ranks: c.Ranks,
		Wings: c.Wings, Sections: c.Sections, Cart: c.Cart, Volts: c.Volts, Node: c.Node,
		SpacingM: p.quantity("--spacing", measure.ShortLength, c.Spacing),
		RankGapM: p.quantity("--rank-gap", measure.ShortLength, c.RankGap),
		SpeedMPS: p.quantity("--speed", measure.Speed, c.Speed),
		HoseMM:   1000 * p.quantity("--hose", measure.Bore, c.Hose),
		GNSS:     p.place("--gnss", c.GNSS),
		Products: c.products(&p),
	}
	return f, p.faults.Err()
}

func (c *drillNewCmd) products(p *flagParser) []drill.ProductFacts {
	outlets := p.outlets("--outlets", c.Outlets)
	p.atMost("--materials", len(c.Materials), len(c.Products))
	p.atMost("--rates", len(c.Rates), len(c.Products))
	p.atMost("--tkw", len(c.TKW), len(c.Products))
	p.atMost("--heads", len(c.Heads), len(c.Products))
	p.atMost("--outlets", len(outlets), len(c.Products))
	ps := make([]drill.ProductFacts, len(c.Products))
	for i, id := range c.Products {
		ps[i].ID = drill.ProductID(strings.TrimSpace(id))
		ps[i].Material = nth(c.Materials, i)
		ps[i].RateKgHa = p.quantity("--rates", measure.Rate, nth(c.Rates, i))
		ps[i].TKWG = nth(c.TKW, i)
		ps[i].Outlets = nth(outlets, i)
		ps[i].Heads = nth(c.Heads, i)
		if len(c.Heads) == 1 {
			ps[i].Heads = c.Heads[0]
		}
	}
	return ps
}

// nth is item i, or the zero value past the end.
func nth[T any](items []T, i int) (item T) {
	if i < len(items) {
		return items[i]
	}
	return item
}

// flagParser reads the values of flags and collects what is wrong with them.
type flagParser struct {
	faults input.Faults
}

func (p *flagParser) quantity(flag string, q measure.Quantity, text string) float64 {
	if text == "" {
		return 0
	}
	v, err := measure.Parse(q, text)
	p.add(flag, err)
	return v
}

func (p *flagParser) add(flag string, err error) {
	if err == nil {
		return
	}
	if f, ok := err.(input.Fault); ok { //nolint:errorlint // the fault itself is wanted, not one inside
		p.faults.Add(input.Place{}, f.Remedy, "%s: %s", flag, f.What)
		return
	}
	p.faults.Add(input.Place{}, "", "%s: %v", flag, err)
}

func (p *flagParser) place(flag string, parts []string) *drill.Point {
	if len(parts) == 0 {
		return nil
	}
	if len(parts) > 3 || len(parts) < 2 {
		p.faults.Add(input.Place{}, "say how far ahead and how far right: 4m,0", "%s: %d numbers", flag, len(parts))
		return nil
	}
	return &drill.Point{
		Forward: p.quantity(flag, measure.Length, parts[0]),
		Right:   p.quantity(flag, measure.Length, parts[1]),
		Up:      p.quantity(flag, measure.Length, nth(parts, 2)),
	}
}

// outlets reads "12,12,12,12/20,28".
func (p *flagParser) outlets(flag, text string) [][]int {
	if text == "" {
		return nil
	}
	var all [][]int
	for product := range strings.SplitSeq(text, "/") {
		var mine []int
		for head := range strings.SplitSeq(product, ",") {
			n, err := strconv.Atoi(strings.TrimSpace(head))
			if err != nil {
				p.faults.Add(input.Place{}, "write the outlets of each head, products parted by a slash: 12,12/20", "%s: %q is no number of outlets", flag, head)
			}
			mine = append(mine, n)
		}
		all = append(all, mine)
	}
	return all
}

func (p *flagParser) atMost(flag string, n, products int) {
	if n > products {
		p.faults.Add(input.Place{}, "name every product with --products", "%s: %d values for %s", flag, n, plural(products, "product"))
	}
}
