package views_test

import (
	"bytes"
	"fmt"

	"runproof/drill"
	"runproof/fit"
	"runproof/views"
)

// The side view of a drill that nobody has planned yet: cab, cart and drill.
func ExampleWriteSide() {
	d, _, _ := drill.New(drill.Facts{Name: "Drill", Rows: 48, SpacingM: 0.25})
	var b bytes.Buffer
	if err := views.WriteSide(&b, &fit.Fit{Drill: *d}, views.Options{WidthMM: 200}); err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%s...\n", b.Bytes()[:4])
	// Output: <svg...
}
