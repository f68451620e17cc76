package drill_test

import (
	"fmt"
	"os"
	"strings"

	"runproof/drill"
)

const example = `runproof: drill/1
name: example
rows: {count: 24, spacing_m: 0.25, ranks_m: [0, -0.6]}
products: [{id: seed, material: wheat, rate_kg_ha: 110, tkw_g: 38}]
heads:
  - {id: A, product: seed, at_m: {forward: -0.4, right: -1.5, up: 1.5}, rows: 1-12}
  - {id: B, product: seed, at_m: {forward: -0.4, right: 1.5, up: 1.5}, rows: "13-22, 24"}
`

func ExampleRead() {
	d, err := drill.Read(strings.NewReader(example), "drill.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d runs on %.1f m, %.0f seeds/s each\n", len(d.Runs()), d.WidthM(), d.RunParticlesPerS("seed"))
	fmt.Println("nothing comes to row", d.UnfedRows())
	// Output:
	// 23 runs on 6.0 m, 166 seeds/s each
	// nothing comes to row 23
}

func ExampleRead_faults() {
	bad := strings.Replace(example, "13-22, 24", "13-22, 25", 1)
	_, err := drill.Read(strings.NewReader(bad), "drill.yaml")
	fmt.Println(err)
	// Output:
	// drill.yaml:7:78: head B feeds row 25, but the drill has 24 rows; check rows.count or the head's list
}

func ExampleDrill_Write() {
	d := &drill.Drill{
		Name: "small", Rows: drill.Rows{Count: 2, SpacingM: 0.25},
		Products: []drill.Product{{ID: "seed"}},
		Heads:    []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2}}},
		Work:     drill.Work{SpeedMPS: 2}, Supply: drill.Supply{Volts: 12},
	}
	var b strings.Builder
	if err := d.Write(&b); err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	for line := range strings.Lines(b.String()) {
		if !strings.HasPrefix(line, "#") && line != "\n" {
			fmt.Print(line)
		}
	}
	// Output:
	// runproof: drill/1
	// name: small
	// display: metric
	// rows: {count: 2, spacing_m: 0.25}
	// products:
	//   - {id: seed}
	// heads:
	//   - {id: A, product: seed, at_m: {forward: 0, right: 0}, rows: "1-2"}
	// cart: {position: between}
	// gnss: {at_m: {forward: 0, right: 0}}
	// work: {speed_mps: 2}
	// sensing: {spare_ports: 0, sensor_from_head_m: 0}
	// supply: {volts: 12}
}
