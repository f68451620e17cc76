package drill

import (
	"strings"
	"testing"
)

// BenchmarkRead reads the widest drill: 400 rows, 60 heads.
func BenchmarkRead(b *testing.B) {
	text := written(b, evenDrill("wide", 400, 0.15, 60))
	b.Run("400x60", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		for b.Loop() {
			if _, err := Read(strings.NewReader(text), "wide.yaml"); err != nil {
				b.Fatal(err)
			}
		}
	})
}
