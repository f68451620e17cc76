package evenness_test

import (
	"fmt"
	"strings"

	"runproof/drill"
	"runproof/evenness"
)

// A small drill, three repeats: outlet 3 gets a fifth less. R 4.2.2 (glm for the
// repeats' factors, rstudent for A-3) gives 8.5558 %, 0.3934 %, -20.229 % and a
// chance of 1.00e-5.
func ExampleJudge() {
	d := &drill.Drill{
		Products: []drill.Product{{ID: "seed", Material: "wheat", TKWG: 38}},
		Heads:    []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2, 3, 4, 5, 6}}},
	}
	bags, err := evenness.ReadBags(strings.NewReader(`run,repeat,grams
A-1,1,151.2
A-2,1,149.8
A-3,1,119.9
A-4,1,150.6
A-5,1,148.9
A-6,1,150.9
A-1,2,166.1
A-2,2,165.2
A-3,2,131.2
A-4,2,165.0
A-5,2,164.9
A-6,2,166.8
A-1,3,150.1
A-2,3,150.7
A-3,3,120.5
A-4,3,149.9
A-5,3,149.2
A-6,3,150.4
`), "bags.csv", d)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := evenness.Judge(d, bags, evenness.Options{Scales: evenness.DefaultScales()})
	if err != nil {
		fmt.Println(err)
		return
	}
	p := c.Products[0]
	fmt.Printf("CV %.2f %%, one bag %.2f %%\n", 100*p.CV.Value, 100*p.Parts.Repeat.Value)
	fmt.Println(p.OutOfLine[0].Words)
	fmt.Println(p.Bands[2].Scale+":", p.Bands[2].Name)
	// Output:
	// CV 8.56 %, one bag 0.39 %
	// A-3 gave 20.2 % less than the others of head A (chance of any of 6 runs so far out: under 0.0001)
	// DLG (Germany), transverse distribution, cereals: poor
}
