package practice_test

import (
	"fmt"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/practice"
)

// Somebody mounted the boxes from the right.
func ExampleJudge() {
	f := &fit.Fit{Revision: 1, Drill: drill.Drill{Heads: []drill.Head{{ID: "A", At: drill.Point{Right: -3}}, {ID: "B", At: drill.Point{Right: 3}}}}}
	f.Nodes = []fit.Node{{Serial: "4103", Head: "B", Ports: 12}, {Serial: "4109", Head: "A", Ports: 12}}
	for _, r := range practice.Judge(f).With(check.Broken) {
		fmt.Println(r.Rule+",", r.Of)
	}
	// Output:
	// serials ascend along the ranks of heads, out of order: 4103
}
