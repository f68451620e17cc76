package measure_test

import (
	"fmt"

	"runproof/measure"
)

func Example() {
	spacing, _ := measure.Parse(measure.ShortLength, "10 in")
	fmt.Printf("%.3f m\n", spacing)
	fmt.Println(measure.US.Format(measure.Rate, 110))
	fmt.Println(measure.Metric.Format(measure.Speed, 2.2))
	// Output:
	// 0.254 m
	// 98 lb/ac
	// 7.9 km/h
}
