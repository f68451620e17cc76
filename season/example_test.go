package season

import "fmt"

// Nine blockages of one run in 41 h before its boot was changed, one in 52 h
// after: R's poisson.test gives the same ratio, interval and p.
func Example_compare() {
	ratio, low, high, p := compare(Span{Hours: 52, Count: 1}, Span{Hours: 41, Count: 9})
	fmt.Printf("%.3f (%.4f to %.3f), p = %.4f\n", *ratio, low, *high, p)
	// Output: 0.088 (0.0020 to 0.632), p = 0.0068
}
