package cli

import (
	"io"
	"path/filepath"
	"strings"

	"runproof/fit"
	"runproof/input"
	"runproof/offer"
	"runproof/parts"
)

type kitCmd struct {
	Fit   string `arg:"" help:"Fit document."`
	Parts string `placeholder:"FILE" help:"Catalogue of parts (parts.yaml) on top of the built-in one: prices, weights, parts of your own."`
	Stock string `placeholder:"FILE" help:"What is on the shelf (stock.csv: part,count,price)."`
	Out   string `short:"o" required:"" placeholder:"FILE" help:"Table to write: .csv or .xlsx; - is CSV on standard output."`
}

func (*kitCmd) Help() string {
	return "Lists what to pick for a fit: parts, spares, prices, weights, and with --stock what is on the shelf and what must be ordered.\n\n" +
		"Example: runproof kit fit.json --parts prices.yaml --stock stock.csv -o kit.xlsx\n\n" +
		"Exit status 1 when something must be ordered, or legs are made of other pieces than planned: plan again with --stock, for the volts change."
}

func (c *kitCmd) Run(s *Shell) error {
	f, kit, err := s.kitOf(c.Fit, c.Parts, c.Stock)
	if err != nil {
		return err
	}
	write := func(w io.Writer) error { return offer.WriteCSV(w, kit) }
	switch ext := strings.ToLower(filepath.Ext(c.Out)); {
	case ext == ".xlsx":
		write = func(w io.Writer) error { return offer.WriteXLSX(w, kit, "Kit: "+nameOr(f.Drill.Name, "drill")) }
	case ext != ".csv" && c.Out != "-":
		return input.Fault{Place: input.Place{File: c.Out}, What: "is neither .csv nor .xlsx", Remedy: "name a file like kit.csv or kit.xlsx"}
	}
	if err := s.WriteFile(c.Out, write); err != nil {
		return err
	}
	if c.Stock != "" && (kit.Shelf.Order > 0 || len(kit.Shelf.Changed()) > 0) {
		s.Attention()
	}
	if c.Out != "-" {
		c.summarise(s, kit)
	}
	return s.EmitJSON(kit)
}

func (c *kitCmd) summarise(s *Shell, kit parts.Kit) {
	pieces := 0
	for _, l := range kit.Lines {
		pieces += l.Pieces()
	}
	cost, unpriced := kit.Cost()
	kg, unweighed := kit.WeightKg()
	s.Summary("%s of %s in %s", plural(pieces, "piece"), plural(len(kit.Lines), "part"), c.Out)
	s.Summary("cost %.2f, %s without a price; weight %.1f kg, %s without a weight", cost, plural(unpriced, "line"), kg, plural(unweighed, "line"))
	if c.Stock != "" {
		orderText(s, kit)
		if changed := kit.Shelf.Changed(); len(changed) > 0 {
			s.Summary("made of other pieces than planned: %s; plan again with --stock, for the volts change", some(changed, 12))
		}
	}
	for _, n := range kit.Notes {
		s.Summary("note: %s", n)
	}
}

// kitOf is what a fit needs, counted anew with the catalogue of today, and met
// from a shelf where one is named.
func (s *Shell) kitOf(fitFile, partsFile, stockFile string) (*fit.Fit, parts.Kit, error) {
	f, _, err := s.ReadFit(fitFile)
	if err != nil {
		return nil, parts.Kit{}, err
	}
	cat, _, err := s.readCatalogue(partsFile)
	if err != nil {
		return nil, parts.Kit{}, err
	}
	cat = cat.Including(f.Parts)
	var made fit.Provenance
	shelf, err := s.readShelf(stockFile, cat, &made)
	if err != nil {
		return nil, parts.Kit{}, err
	}
	cat = cat.Priced(shelf)
	need := f.Need()
	if shelf == nil {
		return f, cat.Kit(need), nil
	}
	need, legs := need.RunsFrom(shelf, cat).LegsFrom(shelf, cat)
	return f, cat.Kit(need).From(shelf, legs, nil), nil
}
