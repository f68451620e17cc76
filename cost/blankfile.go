package cost

import (
	"bufio"
	"fmt"
	"io"

	"runproof/drill"
	"runproof/measure"
)

// WriteBlank writes an assumptions file to fill in for the drill: what only the
// grower knows stands empty, what the crops' entries give stands commented out
// with its source, in the units that the drill's description shows.
// ReadAssumptions takes it as it is.
func WriteBlank(w io.Writer, d *drill.Drill) error {
	b := bufio.NewWriter(w)
	b.WriteString(`# What a grower takes a crop and its prices to be, for runproof cost and
# runproof review --assume. A figure may be one number, [least, most], or [least,
# likely, most]; ranges are honest: what comes out is a range too. Lines that begin
# with # are the program's own figures; take the # away to change one.
runproof: assumptions/1
currency:                     # as written behind amounts: EUR, $; needed with prices
products:                     # those that carry seed
`)
	sts := stands(d, &Assumptions{}, BuiltInCrops())
	for _, s := range sts {
		writeBlankStand(b, &s, d.Display)
	}
	if len(sts) == 0 {
		b.WriteString("  []   # name the product that carries seed: {product: ID, crop: winter wheat, yield_t_ha: 6}\n")
	}
	b.WriteString(`
# strip_part: [0.97, 1, 1.03] # ground short, as a part of what the review reckoned
# thin_help: [0, 0.5, 1]      # help of neighbours to a thin row, as a part of that to a bare one
# starved_saved: [0, 0.5, 1]  # seed that stayed in the tank when a head starved: 1 where it has
#                             # a meter of its own, 0 where other heads took its product

# What going back with the drill would cost; all of it or none.
# resow:
`)
	blankLine(b, "# ", "  ", resowWidth(d), "of the pass that sows again; openers that cannot be shut sow their rows twice")
	blankLine(b, "# ", "  ", resowWork(d.Display), "tractor, drill and driver")
	blankLine(b, "# ", "  ", "yield_part: [0.7, 0.95]", "yield of what is sown so late, as a part of the rest")
	return b.Flush()
}

func resowWidth(d *drill.Drill) string {
	if d.Display == measure.US {
		return fmt.Sprintf("width_ft: %.4g", measure.Foot.Value(d.WidthM()))
	}
	return fmt.Sprintf("width_m: %.4g", d.WidthM())
}

func resowWork(sys measure.System) string {
	if sys == measure.US {
		return "work_per_ac: [12, 25]"
	}
	return "work_per_ha: [30, 60]"
}

func writeBlankStand(b *bufio.Writer, s *stand, sys measure.System) {
	fmt.Fprintf(b, "  - product: %s\n", s.product.ID)
	if s.crop != "" {
		blankLine(b, "    # ", "", "crop: "+s.crop, "by its material; winter and spring cereals differ")
	} else {
		blankLine(b, "    ", "", "crop:", "winter wheat, spring wheat, barley, canola, pea, ...")
	}
	for i, note := range []string{"expected where nothing was missed", "of the harvest", "of the seed, dressing with it"} {
		key := ownFigures[i].key
		if sys == measure.US && ownFigures[i].us.si(s.bushelKg) != 0 {
			key = ownFigures[i].us.key
		}
		blankLine(b, "    ", "", key+":", note)
	}
	for _, a := range s.taken {
		key, r, unit := a.Shown(sys, s.bushelKg)
		note := a.Name
		if unit != "" {
			note += ", " + unit
		}
		blankLine(b, "    # ", "", fmt.Sprintf("%s: [%.3g, %.3g, %.3g]", key, r.Low, r.Likely, r.High), fmt.Sprintf("%s; %s: %s", note, a.Mark.Words(), a.Source))
	}
}

// blankLine writes a line with its comment, comments in one column.
func blankLine(b *bufio.Writer, before, indent, text, note string) {
	const column = 40
	fmt.Fprintf(b, "%s%-*s # %s\n", before, max(0, column-len(before)), indent+text, note)
}
