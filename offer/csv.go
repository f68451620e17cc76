package offer

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"runproof/parts"
)

// Columns are those of a kit as a table.
var Columns = []string{"part", "kind", "name", "to_fit", "spare", "pick", "shelf", "order", "instead_of", "price", "sum", "weight_kg", "why"}

// WriteCSV writes a kit as a table, one line for each part. Unknown prices and
// weights are empty. shelf and order are empty where no shelf was given.
func WriteCSV(w io.Writer, kit parts.Kit) error {
	c := csv.NewWriter(w)
	c.Write(Columns)
	shelved := kit.Shelf.Least != ""
	for _, l := range kit.Lines {
		c.Write([]string{
			l.Part, l.Kind.String(), harmless(l.Name), strconv.Itoa(l.Count), strconv.Itoa(l.Spare), strconv.Itoa(l.Pieces()),
			ifSaid(shelved, strconv.Itoa(l.Shelf)), ifSaid(shelved, strconv.Itoa(l.Order)), l.InsteadOf,
			ifSaid(l.Price > 0, decimal(l.Price)), ifSaid(l.Price > 0, decimal(l.Price*float64(l.Pieces()))),
			ifSaid(l.WeightKg > 0, strconv.FormatFloat(l.WeightKg*float64(l.Pieces()), 'f', 2, 64)), harmless(l.Why),
		})
	}
	c.Flush()
	return c.Error()
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

func ifSaid(said bool, text string) string {
	if !said {
		return ""
	}
	return text
}

// harmless keeps a text from being taken for a formula by the program that
// opens the table.
func harmless(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}
