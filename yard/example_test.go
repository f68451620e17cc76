package yard_test

import (
	"fmt"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/yard"
)

func ExampleSheets() {
	d := drill.Cases()[0].Drill // one row
	f := &fit.Fit{
		Runproof: fit.Version, Revision: 1, Drill: *d,
		Nodes: []fit.Node{{Serial: "4101", Part: "node-12", Ports: 12, Head: "A"}},
		Map:   []fit.Link{{Run: "A-1", Node: "4101", Port: 1, TubeM: 0.4}},
	}
	size, _ := yard.ParseLabels("62x29", drawing.A4) // a roll
	docs, err := yard.Sheets(yard.Input{Fit: f, Labels: size})
	if err != nil {
		fmt.Println(err)
	}
	for _, d := range docs {
		fmt.Printf("%s: pages of %.0f x %.0f mm\n", d.Name, d.Book.Sheets[0].Size.WMM, d.Book.Sheets[0].Size.HMM)
	}
	fmt.Println(len(docs[3].Book.Sheets), "labels: one node, one run at either end")
	// Output:
	// pre-assembly: pages of 210 x 297 mm
	// staging: pages of 297 x 210 mm
	// run-sheet: pages of 210 x 297 mm
	// labels: pages of 62 x 29 mm
	// 3 labels: one node, one run at either end
}

func ExampleCode() {
	c := yard.Code{Job: "North Quarter", Node: "4103", Port: 7, Run: "A-7"}
	fmt.Println(c)
	back, _ := yard.ParseCode("RP1;job=North Quarter;node=4103;port=7;run=A-7")
	fmt.Println(back == c)
	// Output:
	// RP1;job=North Quarter;node=4103;port=7;run=A-7
	// true
}
