package cost

import (
	"bufio"
	"fmt"
	"io"

	"runproof/drill"
)

// WriteBlank writes an assumptions file to fill in for the drill: what only the
// grower knows stands empty, what the crops' entries give stands commented out
// with its source. ReadAssumptions takes it as it is.
func WriteBlank(w io.Writer, d *drill.Drill) error {
	b := bufio.NewWriter(w)
	b.WriteString(`# What a grower takes a crop and its prices to be, for runproof cost.
# A figure may be one number, [least, most], or [least, likely, most]; ranges are
# honest: what comes out is a range too. Lines that begin with # are the
# program's own figures; take the # away to change one.
runproof: assumptions/1
currency:                     # as written behind amounts: EUR, $; needed with prices
products:                     # those that carry seed
`)
	sts := stands(d, &Assumptions{}, BuiltInCrops())
	for _, s := range sts {
		writeBlankStand(b, &s)
	}
	if len(sts) == 0 {
		b.WriteString("  []   # name the product that carries seed: {product: ID, crop: winter wheat, yield_t_ha: 6}\n")
	}
	b.WriteString(`
# thin_help: [0, 0.5, 1]      # help of neighbours to a thin row, as a part of that to a bare one
# starved_saved: [0, 0.5, 1]  # seed that stayed in the tank when a head starved: 1 where it has a meter of its own, 0 where other heads took its product

# What going back with the drill would cost; all of it or none.
# resow:
#   width_m: ` + fmt.Sprintf("%g", d.WidthM()) + `            # of the pass that sows again; openers that cannot be shut sow their rows twice
#   work_per_ha: [30, 60]     # tractor, drill and driver
#   yield_part: [0.7, 0.95]   # of what is sown so late, as a part of the rest
`)
	return b.Flush()
}

func writeBlankStand(b *bufio.Writer, s *stand) {
	fmt.Fprintf(b, "  - product: %s\n", s.product.ID)
	if s.crop != "" {
		fmt.Fprintf(b, "    # crop: %-22s # by its material; winter and spring cereals differ\n", s.crop)
	} else {
		b.WriteString("    crop:                     # winter wheat, spring wheat, barley, canola, pea, ...\n")
	}
	b.WriteString("    yield_t_ha:               # expected where nothing was missed\n" +
		"    price_per_t:              # of the harvest\n" +
		"    seed_price_per_kg:        # of the seed, dressing with it\n")
	for _, a := range s.taken {
		fmt.Fprintf(b, "    # %s: [%g, %g, %g]   # %s; %s: %s\n", a.Key, a.Low, a.Likely, a.High, a.Name, a.Mark.Words(), a.Source)
	}
}
