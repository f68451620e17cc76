package yard

import (
	"testing"

	"runproof/drill"
)

// BenchmarkSheets makes all papers of a drill of 400 runs on 60 heads.
func BenchmarkSheets(b *testing.B) {
	f := whole(drill.Cases()[1].Drill)
	for b.Loop() {
		if _, err := Sheets(Input{Fit: f}); err != nil {
			b.Fatal(err)
		}
	}
}
