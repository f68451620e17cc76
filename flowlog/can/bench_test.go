package can_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/can"
)

// days is the sample's half minute over and over, so many times.
func days(b testing.TB, times int) []byte {
	lines := bytes.SplitAfter(file(b, "sample/runcounts.log"), []byte("\n"))
	var all bytes.Buffer
	for i := range times {
		for _, line := range lines {
			if len(line) == 0 {
				continue
			}
			var second int
			fmt.Sscanf(string(line[1:11]), "%d", &second)
			fmt.Fprintf(&all, "(%d%s", second+31*i, line[11:])
		}
	}
	return all.Bytes()
}

// BenchmarkRead reads a recording of two nodes at 37 frames a second: once to see
// what is in it, once to decode it.
func BenchmarkRead(b *testing.B) {
	for _, name := range []string{"sample/runcounts.dbc", "sample/runcounts-pgn.dbc"} {
		b.Run(name, func(b *testing.B) {
			db, text := database(b, name), days(b, 400)
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			b.ResetTimer()
			records := 0
			for range b.N {
				r, err := can.NewReader(can.Source{Name: "day.log", Stream: bytes.NewReader(text), Scan: bytes.NewReader(text)}, db, nil)
				if err != nil {
					b.Fatal(err)
				}
				var batch flowlog.Batch
				for err == nil {
					err = r.Read(&batch)
					records += batch.Len()
				}
				if !errors.Is(err, io.EOF) {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(records)/b.Elapsed().Seconds(), "frames/s")
		})
	}
}
