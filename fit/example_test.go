package fit_test

import (
	"fmt"
	"os"

	"runproof/drill"
	"runproof/fit"
)

func small() *fit.Fit {
	d := drill.Drill{
		Name:     "Example",
		Products: []drill.Product{{ID: "seed"}},
		Heads:    []drill.Head{{ID: "C", Product: "seed", Rows: drill.RowList{1, 2, 3, 4}}},
		Sensing:  drill.Sensing{Products: []drill.ProductID{"seed"}},
	}
	f := &fit.Fit{Revision: 1, Drill: d, Made: fit.Provenance{By: "runproof plan"}}
	f.Nodes = []fit.Node{{Serial: "4103", Part: "node-12", Ports: 12, Head: "C"}}
	for i := 1; i <= 4; i++ {
		f.Map = append(f.Map, fit.Link{Run: drill.NewRunID("C", i), Node: "4103", Port: i, TubeM: 0.4})
	}
	return f
}

func ExampleDiff() {
	a, b := small(), small()
	b.Map[1].Port = 12
	b.Map = b.Map[:3]
	for _, c := range fit.Diff(a, b) {
		fmt.Println(c.Words)
	}
	// Output:
	// C-2 moved from 4103 port 2 to port 12
	// C-4 is no longer sensed
}

func ExampleFit_WriteMap() {
	if err := small().WriteMap(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// run,product,head,outlet,row,node,port
	// C-1,seed,C,1,1,4103,1
	// C-2,seed,C,2,2,4103,2
	// C-3,seed,C,3,3,4103,3
	// C-4,seed,C,4,4,4103,4
}

func ExampleFit_WriteList() {
	if err := small().WriteList(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Example: revision 1, made by runproof plan
	// 0 nodes, 0 pairs of node and head, 0.0 m of tube, 8 ports free; none
	// node 4103, node-12, at head C: 4 of 12 ports in use
	//   ports 1-4    C-1 to C-4       seed, rows 1-4, tube 0.40 m
}
