package drawing_test

import (
	"fmt"

	"runproof/drawing"
)

func ExampleFitView() {
	drill := drawing.Extent{Left: -6, Right: 6, Back: -1.2} // 12 m wide, ranks 1.2 m deep
	v := drawing.FitView(drill, drawing.Rect{X: 15, Y: 30, W: 180, H: 120})
	left, right := v.At(-6, 0), v.At(6, 0)
	fmt.Printf("%s: the drill is %.0f mm wide on paper\n", v.Scale(), right.X-left.X)
	// Output: 1:75: the drill is 160 mm wide on paper
}

func ExampleNiceTicks() {
	for _, t := range drawing.NiceTicks(0, 0.9, 4) {
		fmt.Print(t.Label, " ")
	}
	// Output: 0.0 0.5
}
