package tasks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/drill"
	"runproof/flowlog/taskdata"
)

// drawbar is ISO 6489-3, the tractor's drawbar, in DDI 157.
const drawbar = 1

// connector is where the drill, or the cart before it, is hitched to the tractor.
func (x *description) connector(root *element) {
	e := x.element(taskdata.ConnectorElem, "Hitch", root)
	x.place(e, x.d.Places().Tractor)
	x.property(e, taskdata.ConnectorType, drawbar, "Connector type", 0)
}

// function is what sows one product: its bin and its sections.
func (x *description) function(root *element, p drill.Product) {
	parts := sectionsOf(x.d, p.ID)
	all := part{runs: runsOf(x.d, p.ID)}
	at, width := all.place(x.d)
	f := x.element(taskdata.FunctionElement, string(p.ID), root)
	x.place(f, at)
	x.property(f, taskdata.WidthActual, millimetres(width), "Width", shownAsM)
	x.property(f, taskdata.WidthMaximum, millimetres(width), "Greatest width", shownAsM)
	x.data(f, taskdata.SectionControl, settable|byDefault, onChange, "Section control", 0)
	for block := 0; block*16 < len(parts) && block < 16; block++ {
		actual, set := taskdata.CondensedStates(block)
		x.data(f, actual, byDefault, onChange, fmt.Sprintf("Sections from %d", block*16+1), 0)
		x.data(f, set, settable, onChange, fmt.Sprintf("Set sections from %d", block*16+1), 0)
	}
	x.bin(f, p)
	for _, s := range parts {
		x.section(f, s)
	}
}

func (x *description) bin(f *element, p drill.Product) {
	cart := x.d.Places().Cart
	b := x.element(taskdata.BinElement, "Tank "+string(p.ID), f)
	x.place(b, drill.Point{Forward: (cart.Front + cart.Back) / 2, Right: (cart.Left + cart.Right) / 2, Up: cart.Top})
	x.data(b, taskdata.SetMassPerArea, settable, onChange, "Set rate", shownAsRate)
	x.data(b, taskdata.MassPerArea, byDefault, onTime|onChange, "Rate", shownAsRate)
	x.bins[p.ID] = b.attr[0].value
}

func (x *description) section(f *element, s part) {
	at, width := s.place(x.d)
	e := x.element(taskdata.SectionElement, s.name, f)
	x.place(e, at)
	x.property(e, taskdata.WidthActual, millimetres(width), "Width", shownAsM)
	if !x.units {
		return
	}
	for _, r := range s.runs {
		u := x.element(taskdata.UnitElement, string(r.ID), e)
		x.place(u, x.d.RowAt(r.Row))
		x.property(u, taskdata.WidthActual, millimetres(x.d.Rows.SpacingM), "Width", shownAsM)
	}
}

// part is runs that are shut off together.
type part struct {
	name string
	runs []drill.Run
}

// place is the middle of the part's openers, and how wide they sow: from the
// outermost to the outermost, with half a spacing on either side.
func (p part) place(d *drill.Drill) (at drill.Point, widthM float64) {
	low, high := drill.Point{Forward: math.Inf(1), Right: math.Inf(1)}, drill.Point{Forward: math.Inf(-1), Right: math.Inf(-1)}
	for _, r := range p.runs {
		q := d.RowAt(r.Row)
		low = drill.Point{Forward: min(low.Forward, q.Forward), Right: min(low.Right, q.Right)}
		high = drill.Point{Forward: max(high.Forward, q.Forward), Right: max(high.Right, q.Right)}
	}
	return drill.Point{Forward: (low.Forward + high.Forward) / 2, Right: (low.Right + high.Right) / 2}, high.Right - low.Right + d.Rows.SpacingM
}

// runsOf are the product's runs that are not closed.
func runsOf(d *drill.Drill, p drill.ProductID) (runs []drill.Run) {
	for _, r := range d.Runs() {
		if r.Product == p && !r.Closed {
			runs = append(runs, r)
		}
	}
	return runs
}

// sectionsOf are the sections of one product from left to right: those that are
// described, and the heads of what is in none.
func sectionsOf(d *drill.Drill, p drill.ProductID) []part {
	var parts []part
	taken := map[drill.RunID]bool{}
	runs := runsOf(d, p)
	for _, s := range d.Sections {
		mine := d.SectionRuns(s)
		of := part{name: string(s.ID)}
		for _, r := range runs {
			if slices.Contains(mine, r.ID) && !taken[r.ID] {
				of.runs, taken[r.ID] = append(of.runs, r), true
			}
		}
		parts = append(parts, of)
	}
	for _, h := range d.Heads {
		of := part{name: "Head " + string(h.ID)}
		for _, r := range runs {
			if r.Head == h.ID && !taken[r.ID] {
				of.runs = append(of.runs, r)
			}
		}
		parts = append(parts, of)
	}
	parts = slices.DeleteFunc(parts, func(s part) bool { return len(s.runs) == 0 })
	slices.SortStableFunc(parts, func(a, b part) int {
		pa, _ := a.place(d)
		pb, _ := b.place(d)
		return cmp.Compare(pa.Right, pb.Right)
	})
	return parts
}
