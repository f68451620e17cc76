package plan_test

import (
	"fmt"

	"runproof/allocate"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
)

// A drill from a phone call, planned whole.
func ExampleMake() {
	d, _, _ := drill.New(drill.Facts{Rows: 48, SpacingM: 0.25, Wings: 2, Cart: drill.CartBehind})
	o, err := plan.Make(d, parts.BuiltIn(), plan.Options{Effort: allocate.Effort}, fit.Provenance{By: "example"})
	if err != nil {
		fmt.Println(err)
		return
	}
	f := o.Fit
	fmt.Printf("%d nodes, bus %s\n", len(f.Nodes), f.Harness.Bus)
	fmt.Printf("fuse %g A, %d rules broken\n", f.Protection.RatingA, f.Checks.Count(check.Broken))
	// Output:
	// 4 nodes, bus [N1 N2 J1 N3 N4]
	// fuse 3 A, 0 rules broken
}
