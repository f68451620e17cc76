package cli

import (
	"bytes"
	"io"

	"runproof/drawing"
	"runproof/offer"
)

type quoteCmd struct {
	Fit      string        `arg:"" help:"Fit document."`
	Settings string        `required:"" placeholder:"FILE" help:"The dealer's own settings (settings.yaml): name, tax, hours, terms, customer."`
	Parts    string        `placeholder:"FILE" help:"Catalogue of parts (parts.yaml) on top of the built-in one: prices."`
	Stock    string        `placeholder:"FILE" help:"What is on the shelf (stock.csv: part,count,price): its prices go before the catalogue's."`
	Paper    drawing.Paper `default:"a4" help:"a4 or letter."`
	Out      string        `short:"o" required:"" placeholder:"FILE" help:"Quote to write (PDF)."`
}

func (*quoteCmd) Help() string {
	return "Writes a quote in the dealer's own name: parts by group, labour, tax, total, terms, signatures. " +
		"Lines without a price stand as on request, and are counted.\n\n" +
		"Example: runproof quote fit.json --settings dealer.yaml --parts prices.yaml -o quote.pdf"
}

// quoteDoc is the result document.
type quoteDoc struct {
	Runproof string       `json:"runproof"`
	Number   string       `json:"number,omitempty"`
	Currency string       `json:"currency,omitempty"`
	Cents    offer.Totals `json:"hundredths"`
}

func (c *quoteCmd) Run(s *Shell) error {
	text, _, err := s.ReadInput(c.Settings)
	if err != nil {
		return err
	}
	settings, err := offer.ReadSettings(bytes.NewReader(text), c.Settings)
	if err != nil {
		return err
	}
	f, kit, err := s.kitOf(c.Fit, c.Parts, c.Stock)
	if err != nil {
		return err
	}
	in := offer.Input{Fit: f, Kit: kit, Settings: settings, Paper: c.Paper}
	if err := s.WriteFile(c.Out, func(w io.Writer) error { return offer.Write(w, in) }); err != nil {
		return err
	}
	t := in.Totals()
	if t.Unpriced > 0 {
		s.Attention()
	}
	if c.Out != "-" {
		s.Summary("quote: total %.2f %s, of it tax %.2f; %s without a price", float64(t.Total)/100, settings.Currency, float64(t.Tax)/100, plural(t.Unpriced, "line"))
	}
	return s.EmitJSON(quoteDoc{"quote/1", settings.Quote.Number, settings.Currency, t})
}
