package review

import (
	"math"
	"testing"

	"runproof/counts"
)

// TestUnsaturatedUndoesDeadTime: what a counter shows of a part g of its flow
// is 1 - ApparentLoss (Knoll, ch. 4, held to simulation in package counts).
func TestUnsaturatedUndoesDeadTime(t *testing.T) {
	for _, tau := range []float64{0, 0.0005, 0.002, 0.005} {
		for _, g := range []float64{0, 0.1, 0.5, 0.75, 1, 1.3} {
			d := counts.DeadTime{TauS: tau}
			f := 1 - d.ApparentLoss(150, g)
			if got := unsaturated(f, 150*tau); math.Abs(got-g) > 1e-12 {
				t.Errorf("tau %g, left %g: %g", tau, g, got)
			}
		}
	}
}
