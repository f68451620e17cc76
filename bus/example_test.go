package bus_test

import (
	"fmt"

	"runproof/bus"
	"runproof/parts"
)

// The longest drop depends on the rules that the boxes keep: they do not mix.
func ExampleStubMaxM() {
	for _, r := range []parts.BusRules{parts.J1939Shielded, parts.CiA} {
		fmt.Printf("%s: %g m at 250 kbit/s\n", r, bus.StubMaxM(r, 250))
	}
	// Output:
	// j1939-11: 1 m at 250 kbit/s
	// cia: 11 m at 250 kbit/s
}
