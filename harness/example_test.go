package harness_test

import (
	"fmt"

	"runproof/drill"
	"runproof/fit"
	"runproof/harness"
	"runproof/parts"
)

// Three nodes on a drill without a told frame: power from the tractor to J1,
// from there one arm to the left and one to the right.
func ExamplePlan() {
	f := fit.Fit{Drill: drill.Drill{
		Rows: drill.Rows{Count: 36, SpacingM: 0.25, RanksM: []float64{0, -0.6}},
		Heads: []drill.Head{
			{ID: "A", At: drill.Point{Forward: -0.4, Right: -3, Up: 1.5}},
			{ID: "B", At: drill.Point{Forward: -0.4, Up: 1.5}},
			{ID: "C", At: drill.Point{Forward: -0.4, Right: 3, Up: 1.5}},
		},
	}}
	for i, head := range []drill.HeadID{"A", "B", "C"} {
		f.Nodes = append(f.Nodes, fit.Node{Serial: fmt.Sprint(4101 + i), Part: "node-12", Head: head})
	}
	h, _, err := harness.Plan(&f, parts.BuiltIn(), drill.Point{Forward: 1.5, Up: 1.4}, harness.Options{StubMaxM: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("bus %v, %.1f m along the frame, %.1f m as laid; %s\n", h.Bus, h.RouteM, h.BusM, h.Bound)
	for _, s := range harness.Staging(h) {
		fmt.Printf("%-4s %s: %v, coil %.2f m at %s\n", s.Kind, s.ToLabel, s.Pieces, s.CoilM, s.CoilAt)
	}
	// Output:
	// bus [4101 J1 4102 4103], 11.8 m along the frame, 13.5 m as laid; closed form on a frame without rings: twice its length less the longest way
	// feed L1 · J1 end, goes to supply: [leg-1.0-8 leg-1.0-0.5], coil 0.00 m at J1
	// drop L2 · gateway end, goes to J1: [leg-1.0-1], coil 0.28 m at gateway
	// bus  L3 · 4101 end, goes to J1: [leg-1.0-5 leg-1.0-1], coil 0.00 m at 4101
	// bus  L4 · 4102 end, goes to J1: [leg-1.0-3], coil 0.18 m at 4102
	// bus  L5 · 4103 end, goes to 4102: [leg-1.0-3 leg-1.0-1 leg-1.0-0.5], coil 0.00 m at 4103
}

// 7.0 m from pieces of 3, 5 and 8 m: one of 8 m, which leaves a metre over.
func ExampleStock_Cover() {
	var cat parts.Catalogue
	for _, m := range []float64{3, 5, 8} {
		cat.Parts = append(cat.Parts, parts.Part{ID: fmt.Sprintf("leg-%g", m), Kind: parts.Leg, LengthM: m, AreaMM2: 1.5})
	}
	c := harness.NewStock(cat).Cover(7, 1, harness.LeastSurplus)
	fmt.Println(len(c.Pieces), "piece,", c.LengthM, "m")
	// Output: 1 piece, 8 m
}
