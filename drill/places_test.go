package drill

import (
	"fmt"
	"strings"
	"testing"
)

// The front of a cart is ahead of its back wherever it rides, however short it
// is said to be.
func TestCartFrontAheadOfBack(t *testing.T) {
	for _, at := range []CartPosition{CartBetween, CartBehind} {
		for _, m := range []float64{0, 0.2, 1.4999, 1.5, 2, 2.5, 6, 20} {
			d := evenDrill("cart", 12, 0.25, 1)
			d.Cart = Cart{Position: at, LengthM: m}
			if c := d.Places().Cart; c.Front-c.Back < leastCartM-usualTongueM-1e-9 {
				t.Errorf("%s, %g m: front at %g m, back at %g m", at, m, c.Front, c.Back)
			}
		}
	}
}

// A cart shorter than its tongue is a slip of the pen.
func TestCartTooShort(t *testing.T) {
	const text = "runproof: drill/1\nrows: {count: 6, spacing_m: 0.2}\nproducts: [{id: seed}]\n" +
		"heads: [{id: A, product: seed, at_m: {forward: 0, right: 0}, rows: 1-6}]\nwork: {speed_mps: 2}\ncart: {length_m: %s}\n"
	if _, err := Read(strings.NewReader(fmt.Sprintf(text, "2")), "x"); err != nil {
		t.Errorf("2 m: %v", err)
	}
	_, err := Read(strings.NewReader(fmt.Sprintf(text, "0.2")), "x")
	if want := "x:6:18: length_m is 0.2; it must be 2 to 20"; err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("0.2 m: %v, want %s", err, want)
	}
}
