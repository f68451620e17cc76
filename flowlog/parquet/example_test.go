package parquet_test

import (
	"bytes"
	"fmt"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
)

func ExampleNewWriter() {
	l := &flowlog.Log{Schema: flowlog.Schema{Columns: []flowlog.Column{flowlog.ColumnNamed("4103:1")}}}
	l.TimeNS = []int64{1778577330_200000000, 1778577330_400000000}
	l.Values = [][]float64{{17, flowlog.Missing()}}
	var file bytes.Buffer
	w := parquet.NewWriter(&file, l.Schema)
	if err := w.Write(&l.Batch); err != nil {
		fmt.Println(err)
	}
	if err := w.Close(); err != nil {
		fmt.Println(err)
	}
	r, err := parquet.NewReader(bytes.NewReader(file.Bytes()), int64(file.Len()), "day.parquet", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	back, err := flowlog.ReadAll(r)
	fmt.Println(back.Clock.Format(back.TimeNS[1]), back.Values[0], err)
	// Output:
	// 2026-05-12T09:15:30.4Z [17 NaN] <nil>
}
