package cli

import (
	"bytes"
	"fmt"

	"runproof/fit"
	"runproof/parts"
)

// readShelf reads a stock.csv and notes it among the inputs; nil where none is
// named, and not nil where it is empty: then all must be ordered.
func (s *Shell) readShelf(name string, cat parts.Catalogue, made *fit.Provenance) (parts.Shelf, error) {
	if name == "" {
		return nil, nil
	}
	text, src, err := s.ReadInput(name)
	if err != nil {
		return nil, err
	}
	made.From = append(made.From, src)
	shelf, err := parts.ReadShelf(bytes.NewReader(text), name, cat)
	if err == nil && shelf == nil {
		shelf = parts.Shelf{}
	}
	return shelf, err
}

// orderText says what must be ordered for a kit that was met from a shelf.
func orderText(s *Shell, k parts.Kit) {
	if k.Shelf.Order == 0 {
		s.Summary("all of it is on the shelf")
		return
	}
	cost := ""
	if k.Shelf.OrderCost > 0 {
		cost = fmt.Sprintf(" for %.2f", k.Shelf.OrderCost)
	}
	s.Summary("to order: %s%s", plural(k.Shelf.Order, "piece"), cost)
	for _, l := range k.Lines {
		instead := ""
		if l.InsteadOf != "" {
			instead = ", in place of " + l.InsteadOf
		}
		if l.Order > 0 {
			s.Summary("  %3d x %-14s %s (%d on the shelf)%s", l.Order, l.Part, l.Name, l.Shelf, instead)
		} else if instead != "" {
			s.Summary("      %-18s %s from the shelf%s", l.Part, plural(l.Shelf, "piece"), instead)
		}
	}
	if k.Shelf.Bound != "" {
		s.Summary("legs of the harness from the shelf: %s", k.Shelf.Bound)
	}
}
