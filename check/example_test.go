package check_test

import (
	"fmt"

	"runproof/check"
	"runproof/measure"
)

func ExampleResult() {
	r := check.Result{
		Rule: "volts", Of: "node 4103", Quantity: measure.Voltage,
		Value: 9.4, Bound: check.AtLeast, Limit: 9, Reserve: 0.5,
		Source: "the node's data sheet", Advice: "use a thicker cable or feed the harness at both ends",
	}
	fmt.Println(r.Verdict())
	fmt.Println(r)
	// Output:
	// tight
	// volts, node 4103: 9.40 V, at least 9.00 V, only 0.40 V to spare (the node's data sheet); use a thicker cable or feed the harness at both ends
}
