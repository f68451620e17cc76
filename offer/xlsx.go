package offer

import (
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"runproof/measure"
	"runproof/parts"
	"runproof/spreadsheet"
)

// xlsxEpoch stands for the times that the file format wants: the same kit gives
// the same bytes.
const xlsxEpoch = "2000-01-01T00:00:00Z"

// WriteXLSX writes a kit as a spreadsheet: a heading, the columns of WriteCSV
// under a frozen header, numbers as numbers, and sums as formulas that carry
// their value. The same kit gives the same bytes.
func WriteXLSX(w io.Writer, kit parts.Kit, heading string) error {
	x := sheet{f: excelize.NewFile(), name: "Kit"}
	defer x.f.Close()
	x.try(x.f.SetSheetName("Sheet1", x.name))
	x.try(x.f.SetDocProps(&excelize.DocProperties{Creator: "Runproof", Title: heading, Created: xlsxEpoch, Modified: xlsxEpoch}))
	x.styles()
	x.set("A1", heading, x.bold)
	x.header(3)
	row := 4
	for _, l := range kit.Lines {
		x.line(row, l, kit.Shelf.Least != "")
		row++
	}
	x.sums(row, kit)
	for i, n := range kit.Notes {
		x.set(cell(1, row+2+i), n, 0)
	}
	x.layout()
	if x.err != nil {
		return x.err
	}
	book, err := x.f.WriteToBuffer()
	if err != nil {
		return err
	}
	return spreadsheet.Settle(w, book.Bytes(), numbersOfFormulas)
}

// sheet is one sheet in the making; it keeps the first error.
type sheet struct {
	f                 *excelize.File
	name              string
	bold, money, kilo int
	head              int
	err               error
}

func (x *sheet) try(err error) {
	if x.err == nil {
		x.err = err
	}
}

func (x *sheet) styles() {
	style := func(s *excelize.Style) int {
		id, err := x.f.NewStyle(s)
		x.try(err)
		return id
	}
	money, kilo := "#,##0.00", "0.00"
	x.bold = style(&excelize.Style{Font: &excelize.Font{Bold: true, Size: 13}})
	x.head = style(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Color: "000000", Style: 1}}})
	x.money = style(&excelize.Style{CustomNumFmt: &money})
	x.kilo = style(&excelize.Style{CustomNumFmt: &kilo})
}

func cell(col, row int) string {
	name, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		panic(err) // the columns are ours
	}
	return name
}

func (x *sheet) set(at string, v any, style int) {
	x.try(x.f.SetCellValue(x.name, at, v))
	if style > 0 {
		x.try(x.f.SetCellStyle(x.name, at, at, style))
	}
}

func (x *sheet) header(row int) {
	for i, c := range Columns {
		x.set(cell(i+1, row), c, x.head)
	}
	x.try(x.f.SetPanes(x.name, &excelize.Panes{Freeze: true, YSplit: row, TopLeftCell: cell(1, row+1), ActivePane: "bottomLeft"}))
}

// The columns that hold figures, by their place in Columns.
const (
	colFit   = 4
	colSpare = 5
	colPick  = 6
	colShelf = 7
	colOrder = 8
	colPrice = 10
	colSum   = 11
	colKg    = 12
)

func (x *sheet) line(row int, l parts.Line, shelved bool) {
	for _, c := range []struct { // in order: the file numbers its texts as they come
		col  int
		text string
	}{{1, l.Part}, {2, l.Kind.String()}, {3, l.Name}, {9, l.InsteadOf}, {13, l.Why}} {
		if c.text != "" {
			x.try(x.f.SetCellStr(x.name, cell(c.col, row), c.text))
		}
	}
	x.set(cell(colFit, row), l.Count, 0)
	x.set(cell(colSpare, row), l.Spare, 0)
	x.formula(cell(colPick, row), fmt.Sprintf("%s+%s", cell(colFit, row), cell(colSpare, row)), float64(l.Pieces()), 0)
	if shelved {
		x.set(cell(colShelf, row), l.Shelf, 0)
		x.set(cell(colOrder, row), l.Order, 0)
	}
	if l.Price > 0 {
		x.set(cell(colPrice, row), l.Price, x.money)
		x.formula(cell(colSum, row), fmt.Sprintf("%s*%s", cell(colPick, row), cell(colPrice, row)), l.Price*float64(l.Pieces()), x.money)
	}
	if l.WeightKg > 0 {
		x.set(cell(colKg, row), measure.Round(l.WeightKg*float64(l.Pieces()), 4), x.kilo)
	}
}

// formula sets a formula and the value that it has, for readers that do not
// reckon.
func (x *sheet) formula(at, formula string, value float64, style int) {
	x.set(at, value, style)
	x.try(x.f.SetCellFormula(x.name, at, formula))
}

func (x *sheet) sums(row int, kit parts.Kit) {
	if len(kit.Lines) == 0 {
		return
	}
	x.set(cell(1, row), "sum", x.head)
	sum, _ := kit.Cost()
	kg, _ := kit.WeightKg()
	pieces := 0
	for _, l := range kit.Lines {
		pieces += l.Pieces()
	}
	for _, c := range []struct {
		col   int
		value float64
		style int
	}{{colPick, float64(pieces), 0}, {colSum, sum, x.money}, {colKg, kg, x.kilo}} {
		x.formula(cell(c.col, row), fmt.Sprintf("SUM(%s:%s)", cell(c.col, row-len(kit.Lines)), cell(c.col, row-1)), measure.Round(c.value, 4), c.style)
	}
}

func (x *sheet) layout() {
	for col, width := range map[string]float64{"A": 15, "B": 11, "C": 46, "D": 7, "E": 7, "F": 7, "G": 7, "H": 7, "I": 12, "J": 10, "K": 11, "L": 10, "M": 60} {
		x.try(x.f.SetColWidth(x.name, col, col, width))
	}
}
