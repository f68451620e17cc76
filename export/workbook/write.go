package workbook

import (
	"io"
	"math"

	"github.com/xuri/excelize/v2"

	"runproof/export"
	"runproof/flowlog"
	"runproof/spreadsheet"
)

// epoch stands for the times that the form wants.
const epoch = "2000-01-01T00:00:00Z"

// Write writes the spreadsheet of a day.
func Write(w io.Writer, day *export.Day) error {
	b := &book{f: excelize.NewFile()}
	defer b.f.Close()
	b.try(b.f.SetDocProps(&excelize.DocProperties{Creator: "Runproof", Title: day.Title(), Created: epoch, Modified: epoch}))
	b.styles()
	b.layer(day.Events().With(seconds()))
	b.layer(day.Runs())
	b.summary(day)
	b.try(b.f.DeleteSheet("Sheet1"))
	if b.err != nil {
		return b.err
	}
	text, err := b.f.WriteToBuffer()
	if err != nil {
		return err
	}
	return spreadsheet.Settle(w, text.Bytes(), nil)
}

// seconds is a column with the length of an event.
func seconds() export.Extra {
	return export.Extra{
		Field: export.Field{Name: "seconds", Short: "seconds", Type: export.Decimal, Digits: 1, Means: "from start to end, s"},
		After: "end",
		Cell: func(cell func(string) any) any {
			from, _ := cell("start").(string)
			to, _ := cell("end").(string)
			a, _, err1 := flowlog.ParseTime(from)
			b, _, err2 := flowlog.ParseTime(to)
			if err1 != nil || err2 != nil {
				return nil
			}
			return math.Round(float64(b-a)/1e8) / 10
		},
	}
}

// book is the spreadsheet in the making; it keeps the first error.
type book struct {
	f      *excelize.File
	head   int
	digits map[int]int // style of numbers by their digits
	err    error
}

func (b *book) try(err error) {
	if b.err == nil {
		b.err = err
	}
}

func (b *book) styles() {
	style := func(s *excelize.Style) int {
		id, err := b.f.NewStyle(s)
		b.try(err)
		return id
	}
	b.head = style(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Color: "000000", Style: 1}}})
	b.digits = map[int]int{}
	for n, form := range []string{"0", "0.0", "0.00", "0.000", "0.0000", "0.00000", "0.000000"} {
		b.digits[n] = style(&excelize.Style{CustomNumFmt: &form})
	}
}

// layer writes a layer as a sheet of its own.
func (b *book) layer(l export.Layer) {
	_, err := b.f.NewSheet(l.Name)
	b.try(err)
	if b.err != nil {
		return
	}
	s, err := b.f.NewStreamWriter(l.Name)
	if b.try(err); b.err != nil {
		return
	}
	for i, f := range l.Fields {
		b.try(s.SetColWidth(i+1, i+1, width(f)))
	}
	b.try(s.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	head := make([]any, len(l.Fields))
	for i, f := range l.Fields {
		head[i] = excelize.Cell{StyleID: b.head, Value: f.Name}
	}
	b.try(s.SetRow("A1", head))
	for i, f := range l.Features {
		at, err := excelize.CoordinatesToCellName(1, i+2)
		b.try(err)
		b.try(s.SetRow(at, b.row(l, f)))
	}
	b.try(s.Flush())
}

func (b *book) row(l export.Layer, f export.Feature) []any {
	row := make([]any, len(f.Cells))
	for i, cell := range f.Cells {
		switch v := cell.(type) {
		case int64, bool:
			row[i] = v
		case float64:
			row[i] = excelize.Cell{StyleID: b.digits[l.Fields[i].Digits], Value: v}
		case string:
			row[i] = clip(v)
		}
	}
	return row
}

// clip keeps a text within what a cell can hold (ECMA-376: 32 767 letters).
func clip(s string) string {
	if r := []rune(s); len(r) > excelize.TotalCellChars {
		return string(r[:excelize.TotalCellChars])
	}
	return s
}

func width(f export.Field) float64 {
	switch {
	case f.Name == "sentence":
		return 90
	case f.Name == "start" || f.Name == "end":
		return 24
	}
	return max(10, float64(len(f.Name)+2))
}

// summary writes what the day was in names and figures.
func (b *book) summary(day *export.Day) {
	const sheet = "summary"
	_, err := b.f.NewSheet(sheet)
	b.try(err)
	row := 0
	put := func(name string, value any, style int) {
		row++
		if b.err != nil {
			return
		}
		a, _ := excelize.CoordinatesToCellName(1, row)
		v, _ := excelize.CoordinatesToCellName(2, row)
		b.try(b.f.SetCellValue(sheet, a, name))
		b.try(b.f.SetCellValue(sheet, v, value))
		if style > 0 {
			b.try(b.f.SetCellStyle(sheet, v, v, style))
		}
	}
	for _, line := range day.Overview() {
		put(line.Name, line.Value, b.digits[line.Digits])
	}
	for _, n := range append(append([]string{}, day.Notes...), day.Summary.Warnings...) {
		put("note", n, 0)
	}
	put("what this is", export.Safety, 0)
	b.try(b.f.SetColWidth(sheet, "A", "A", 24))
	b.try(b.f.SetColWidth(sheet, "B", "B", 60))
	b.try(b.f.SetPanes(sheet, &excelize.Panes{Freeze: true, XSplit: 1, TopLeftCell: "B1", ActivePane: "topRight"}))
}
