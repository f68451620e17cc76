package cost_test

import (
	"fmt"
	"strings"

	"runproof/cost"
	"runproof/drill"
	"runproof/review"
)

// Row 3 of a drill was blocked for 200 m, row 4 beside it for the second half.
func ExampleEstimate() {
	d := &drill.Drill{
		Rows:     drill.Rows{Count: 8, SpacingM: 0.25},
		Products: []drill.Product{{ID: "seed", Material: "canola", RateKgHa: 5}},
		Heads:    []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2, 3, 4, 5, 6, 7, 8}}},
	}
	a, err := cost.ReadAssumptions(strings.NewReader("runproof: assumptions/1\ncurrency: EUR\nproducts:\n- {product: seed, yield_t_ha: [2, 3], price_per_t: [450, 520]}\n"), "assumptions.yaml", d)
	if err != nil {
		fmt.Println(err)
		return
	}
	doc := cost.Estimate(cost.Input{Drill: d, Seed: 1, Assumptions: a, Days: []cost.Day{{Events: []review.Event{
		{ID: 1, Kind: review.Blocked, Run: "A-3", Head: "A", Product: "seed", Lost: 1, Start: "0", End: "100", Metres: 200, AreaM2: 50},
		{ID: 2, Kind: review.Blocked, Run: "A-4", Head: "A", Product: "seed", Lost: 1, Start: "50", End: "100", Metres: 100, AreaM2: 25},
	}}}})
	for _, e := range doc.Events {
		for _, p := range e.Pieces {
			fmt.Printf("%s: %.0f m2 with %d short side by side\n", e.Run, p.AreaM2, p.Rows)
		}
	}
	fmt.Println("together", doc.Total.Net.Between(doc.Currency))
	// Output:
	// A-3: 25 m2 with 1 short side by side
	// A-3: 25 m2 with 2 short side by side
	// A-4: 25 m2 with 2 short side by side
	// together 2.3 to 4.9 EUR
}
