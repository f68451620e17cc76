package power_test

import (
	"strings"
	"testing"

	"runproof/check"
	"runproof/parts"
	"runproof/power"
)

// A supply so low that every box is off leaves a list of loads that is empty,
// not absent: whoever reads the document may count on a list.
func TestAllBoxesOff(t *testing.T) {
	cat := parts.BuiltIn()
	f, h := wired(t, folded(t, 9.2), cat)
	r, results := power.Plan(f, h, cat)
	if results.Worst() != check.Broken {
		t.Errorf("9.2 V told and boxes that need 9 V: %v", results.Worst())
	}
	for _, c := range results {
		if c.Rule == "volts at the boxes, cranking recovery" && !strings.Contains(c.Advice, "no thicker leg helps") {
			t.Errorf("8.05 V at the supply and 9 V needed: advice %q", c.Advice)
		}
	}
	cranking := r.Cases[1]
	if cranking.Loads == nil || len(cranking.Loads) != 0 || len(cranking.Off) != len(f.Nodes)+1 || cranking.SupplyA != 0 {
		t.Errorf("loads %v, off %v, %g A", cranking.Loads, cranking.Off, cranking.SupplyA)
	}
}
