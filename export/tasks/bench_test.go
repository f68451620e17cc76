package tasks

import (
	"os"
	"testing"

	"runproof/export"
)

// BenchmarkMake makes the demo's set, and one of 10 000 skips.
func BenchmarkMake(b *testing.B) {
	in := demoInput(b)
	b.Run("demo", func(b *testing.B) {
		for b.Loop() {
			made(b, in)
		}
	})
	day, err := export.Read(os.DirFS("../testdata/demo"), "demo")
	if err != nil {
		b.Fatal(err)
	}
	first := day.Short[0]
	day.Short = nil
	for i := range 10000 {
		s := first
		s.Ground = export.Ground{{append(export.Ring{}, first.Ground[0][0]...)}}
		for k := range s.Ground[0][0] {
			s.Ground[0][0][k][0] += float64(i/100) * 5e-5
			s.Ground[0][0][k][1] += float64(i%100) * 6e-3
		}
		day.Short = append(day.Short, s)
	}
	in.Day = day
	b.Run("10000 polygons", func(b *testing.B) {
		for b.Loop() {
			made(b, in)
		}
	})
}
