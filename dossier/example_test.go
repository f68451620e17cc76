package dossier_test

import (
	"bytes"
	"fmt"

	"runproof/dossier"
	"runproof/drill"
	"runproof/fit"
)

func ExampleWrite() {
	d := drill.Cases()[0].Drill // one row
	f := &fit.Fit{
		Runproof: fit.Version, Revision: 1, Drill: *d,
		Nodes: []fit.Node{{Serial: "4101", Part: "node-12", Ports: 12, Head: "A"}},
		Map:   []fit.Link{{Run: "A-1", Node: "4101", Port: 1, TubeM: 0.4}},
	}
	var file bytes.Buffer
	if err := dossier.Write(&file, dossier.Input{Fit: f}); err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%s, %d pages\n", file.Bytes()[:8], len(dossier.Book(dossier.Input{Fit: f}).Sheets))
	// Output: %PDF-1.7, 8 pages
}
