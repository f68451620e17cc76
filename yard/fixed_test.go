package yard

import (
	"testing"

	"runproof/measure"
)

// No sheet has a minus before a zero.
func TestNoMinusBeforeZero(t *testing.T) {
	for _, s := range []measure.System{measure.Metric, measure.US} {
		u := units{s}
		if got := u.length(-0.0001); got != "0.00\u00a0"+u.Unit(measure.Length).Symbol() {
			t.Errorf("%v: %q", s, got)
		}
	}
}
