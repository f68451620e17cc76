package formats_test

import (
	"bytes"
	"fmt"
	"strings"

	"runproof/flowlog"
	"runproof/flowlog/formats"
)

// A text log becomes Parquet, and only one column of it is read back.
func Example() {
	text := "time,4103:1,4103:2\n0,17,21\n0.2,16,\n0.4,18,20\n"
	r, closer, err := formats.Open(formats.Source{Name: "day.csv", Stream: strings.NewReader(text)})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer closer()
	var file bytes.Buffer
	w, err := formats.Create("day.parquet", &file, r.Schema())
	if err != nil {
		fmt.Println(err)
		return
	}
	var b flowlog.Batch
	for r.Read(&b) == nil {
		if err := w.Write(&b); err != nil {
			fmt.Println(err)
		}
	}
	if err := w.Close(); err != nil {
		fmt.Println(err)
	}

	second := func(c flowlog.Column) bool { return c.Name == "4103:2" }
	src := formats.Source{Name: "day.parquet", Stream: &file, At: bytes.NewReader(file.Bytes()), Size: int64(file.Len())}
	p, closeParquet, err := formats.Open(src, formats.Only(second))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer closeParquet()
	l, err := flowlog.ReadAll(p)
	fmt.Println(l.Columns[0].Name, l.Values[0], err)
	// Output:
	// 4103:2 [21 NaN 20] <nil>
}
