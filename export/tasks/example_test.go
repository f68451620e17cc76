package tasks_test

import (
	"fmt"
	"os"

	"runproof/drill"
	"runproof/export"
	"runproof/export/tasks"
)

func ExampleMake() {
	day, err := export.Read(os.DirFS("../testdata/demo"), "review")
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := os.Open("../../demo/drill.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer f.Close()
	d, err := drill.Read(f, "drill.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	set, err := tasks.Make(tasks.Input{Day: day, Drill: d, Field: "Heron Flat"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range set.Tasks {
		fmt.Printf("%s: %.0f m2 in %d zones take %.1f kg\n", t.Product, t.AreaM2, t.Zones, t.Kg)
	}
	// Output:
	// seed: 1337 m2 in 3 zones take 6.8 kg
	// fert: 1754 m2 in 1 zones take 15.8 kg
}
