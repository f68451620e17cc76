package workbook_test

import (
	"bytes"
	"fmt"

	"github.com/xuri/excelize/v2"

	"runproof/export"
	"runproof/export/workbook"
	"runproof/review"
)

func ExampleWrite() {
	day := export.Day{Found: []review.Event{{ID: 1, Run: "A-3", Kind: review.Blocked, Start: "2026-05-12T08:08:40Z", End: "2026-05-12T08:11:55Z", Lost: 0.9526}}}
	var b bytes.Buffer
	workbook.Write(&b, &day)
	x, _ := excelize.OpenReader(&b)
	rows, _ := x.GetRows("events")
	for i, head := range rows[0][:10] {
		fmt.Print(head, "=", rows[1][i], " ")
	}
	// Output: id=1 kind=blocked run=A-3 head= product= node= start=2026-05-12T08:08:40Z end=2026-05-12T08:11:55Z seconds=195.0 lost=0.9526
}
