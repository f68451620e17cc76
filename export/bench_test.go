package export_test

import (
	"fmt"
	"io"
	"testing"
	"testing/fstest"

	"runproof/export"
)

// manyDay is a day of n skips, each a strip of 60 places on a pass of its own.
func manyDay(n int) fstest.MapFS {
	events := make([]oddEvent, n)
	for i := range events {
		lat, lon := 51.2+float64(i%100)*3e-4, -106.3+float64(i/100)*4e-4
		events[i] = oddEvent{"blocked", fmt.Sprintf("A-%d", i%48+1), "A", "seed", "a hose that was blocked", 0.95, []export.Ring{strip(lat, lon, 0.25, 1.1, steady(float64(i%360), 30)...)}}
	}
	return dayOf("many", events...)
}

// BenchmarkRead reads a day and makes its ground sound.
func BenchmarkRead(b *testing.B) {
	folder := manyDay(10000)
	b.Run("10000", func(b *testing.B) {
		for b.Loop() {
			if day, err := export.Read(folder, "many"); err != nil || len(day.Short) != 10000 {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkWrite writes a day of 10 000 skips in each form.
func BenchmarkWrite(b *testing.B) {
	day, err := export.Read(manyDay(10000), "many")
	if err != nil {
		b.Fatal(err)
	}
	for _, f := range forms {
		b.Run(f.name+"/10000", func(b *testing.B) {
			var n counter
			for b.Loop() {
				n = 0
				if err := f.write(&n, day); err != nil {
					b.Fatal(err)
				}
			}
			b.SetBytes(int64(n))
		})
	}
}

type counter int

func (c *counter) Write(b []byte) (int, error) {
	*c += counter(len(b))
	return len(b), nil
}

var _ io.Writer = (*counter)(nil)
