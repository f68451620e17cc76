package yamldoc_test

import (
	"fmt"
	"strings"

	"runproof/input/yamldoc"
)

func Example() {
	text := `
runproof: shelf/1
boxes:
  - {id: bolts, size_m: 0.4}
  - {id: nuts, size_m: 40}
  - {id: bolts, sise_m: 0.2}
`
	var shelf struct {
		Runproof string `json:"runproof"`
		Boxes    []struct {
			ID    string  `json:"id" jsonschema:"required"`
			SizeM float64 `json:"size_m" jsonschema:"exclusiveMinimum=0,maximum=2"`
		} `json:"boxes"`
	}
	doc, err := yamldoc.Parse(strings.NewReader(text), "shelf.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	doc.Decode(&shelf)
	if shelf.Boxes[2].ID == shelf.Boxes[0].ID {
		doc.Fault(doc.At("boxes", 2, "id"), "give each its own", "box %s stands twice", shelf.Boxes[2].ID)
	}
	fmt.Println(doc.Err())
	// Output:
	// shelf.yaml:5:24: size_m is 40; it must be over 0, at most 2
	// shelf.yaml:6:10: box bolts stands twice; give each its own
	// shelf.yaml:6:17: unknown key "sise_m"; did you mean size_m?
}
