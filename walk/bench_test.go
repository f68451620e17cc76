package walk

import (
	"math/rand/v2"
	"testing"
)

// BenchmarkProve names the work: runs x samples of the walk.
func BenchmarkProve(b *testing.B) {
	for _, c := range []struct {
		name  string
		heads int
		dtS   float64
	}{
		{"48x2100", 4, 0.2},
		{"400x36000", 40, 0.1},
	} {
		rng := rand.New(rand.NewPCG(1, 1))
		y := plainYard()
		y.perNode, y.dtS, y.disp, y.pinchS, y.gapS = 12, c.dtS, 0, [2]float64{3, 5}, [2]float64{3, 7}
		y.heads = nil
		for range c.heads {
			y.heads = append(y.heads, 10)
		}
		log, marks, _, f := y.record(rng)
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Prove(f, log, Options{Marks: marks}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(log.Values)*log.Len())*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
		})
		b.Run(c.name+"/unmarked", func(b *testing.B) {
			for b.Loop() {
				if _, err := Prove(f, log, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
