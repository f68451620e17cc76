package parts_test

import (
	"fmt"
	"strings"

	"runproof/parts"
)

// A dealer's own node, and what a fit of 14 sensors needs.
func ExampleCatalogue_Kit() {
	own := "parts: [{id: node-16, kind: node, price: 310}, {id: sensor-25, kind: sensor, price: 18.5}]"
	cat, err := parts.BuiltIn().With(strings.NewReader(own), "parts.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	kit := cat.Kit(parts.Need{Nodes: []parts.Some{{Part: "node-16", Pieces: 1}}, FreePorts: 2, Hoses: []parts.HoseNeed{{MM: 25, Sensors: 14}}})
	for _, l := range kit.Lines[:3] {
		fmt.Printf("%2d + %d %s\n", l.Count, l.Spare, l.Name)
	}
	sum, unpriced := kit.Cost()
	fmt.Printf("%.2f and %d lines without price\n", sum, unpriced)
	// Output:
	//  1 + 0 sensing node, 16 ports
	// 14 + 1 flow sensor for 25 mm hose
	//  2 + 1 port cap
	// 587.50 and 11 lines without price
}
