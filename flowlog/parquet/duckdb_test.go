package parquet_test

import (
	"fmt"
	"math"
	"os"
	"testing"

	"runproof/flowlog"
)

// testdata/duckdb.parquet comes from DuckDB 1.5.6, an implementation of Parquet
// that shares nothing with those in Go; duckdb.sql says what is in it.
func TestReadsWhatDuckDBWrites(t *testing.T) {
	b, err := os.ReadFile("testdata/duckdb.parquet")
	if err != nil {
		t.Fatal(err)
	}
	l := readAll(t, b)
	if l.Len() != 600 || l.Clock != flowlog.UTC {
		t.Fatalf("%d samples, %s", l.Len(), l.Clock)
	}
	null := math.NaN()
	for i := range 600 {
		if want := 1778577330_200000000 + int64(i)*200000000; l.TimeNS[i] != want {
			t.Fatalf("time %d is %d, want %d", i, l.TimeNS[i], want)
		}
		lon, first, closed := -106.3, float64(i*7919%23), 0.0
		if i%10 == 0 {
			lon = null
		}
		if i%11 == 3 {
			first = null
		}
		if i%7 == 0 {
			closed = 1
		}
		want := []float64{51.2 + float64(i)*1e-6, lon, float64(i / 50 % 2), closed, first, float64(i * 104729 % 41), float64(i * 1299709 % 1000), float64(i%5) / 4}
		for c, w := range want {
			wantValues(t, fmt.Sprintf("%s, sample %d", l.Columns[c].Name, i), l.Values[c][i:i+1], []float64{w})
		}
	}
}
