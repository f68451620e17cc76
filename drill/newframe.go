package drill

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// initial is the first letter of the id, as a capital.
func initial(id ProductID) string {
	r, _ := utf8.DecodeRuneInString(string(id))
	return strings.ToUpper(string(r))
}

// hinges are the places across the drill where its wings fold: the width in
// equal parts.
func (f Facts) hinges(d *Drill) []float64 {
	parts := f.Wings + 1
	var hs []float64
	for i := 1; i < parts; i++ {
		hs = append(hs, roundM(d.WidthM()*(float64(i)/float64(parts)-0.5)))
	}
	return hs
}

// partM is the width of each part of a folding frame.
func (f Facts) partM(d *Drill) float64 { return d.WidthM() / float64(f.Wings+1) }

// offHinges moves a place that is too near to a hinge to the nearer side of it,
// toward the middle when it stands on the hinge: a head sits on one part of the
// frame.
func (f Facts) offHinges(d *Drill, right float64) float64 {
	clear := min(headOffHingeM, f.partM(d)/2)
	for _, h := range f.hinges(d) {
		off := right - h
		if math.Abs(off) >= clear {
			continue
		}
		if off > 0 || off == 0 && h < 0 {
			return h + clear
		}
		return h - clear
	}
	return right
}

// addSections shuts off equal parts of the width: whole heads where a part
// takes them whole, single runs elsewhere.
func (f Facts) addSections(d *Drill) {
	runs := d.Runs()
	for k := range f.Sections {
		from, to := k*f.Rows/f.Sections+1, (k+1)*f.Rows/f.Sections
		inside := func(row int) bool { return row >= from && row <= to }
		s := Section{ID: SectionID(fmt.Sprintf("S%d", k+1))}
		for _, h := range d.Heads {
			if !slices.ContainsFunc(h.Rows, func(row int) bool { return !inside(row) }) {
				s.Heads = append(s.Heads, h.ID)
			}
		}
		for _, r := range runs {
			if inside(r.Row) && !slices.Contains(s.Heads, r.Head) {
				s.Runs = append(s.Runs, r.ID)
			}
		}
		if len(s.Heads)+len(s.Runs) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
}

// addFrame describes the frame of a folding drill: a bar across it, cut at the
// hinges, and a beam from its middle to the hitch. A drill that does not fold
// needs no frame: the default one serves.
func (f Facts) addFrame(d *Drill) {
	if f.Wings == 0 {
		return
	}
	bar := func(right float64) Point {
		return Point{Forward: d.Heads[0].At.Forward, Right: roundM(right), Up: usualBarUpM}
	}
	add := func(id string, at Point) { d.Frame.Points = append(d.Frame.Points, FramePoint{id, at}) }
	link := func(from, to string, slackM float64) {
		d.Frame.Links = append(d.Frame.Links, FrameLink{from, to, slackM})
	}
	half, gap := d.WidthM()/2, min(hingeHalfGapM, f.partM(d)/4)
	ends := append(append([]float64{-half}, f.hinges(d)...), half)
	middle := f.Wings / 2
	for i := range f.Wings + 1 {
		left, right := fmt.Sprintf("bar%dL", i+1), fmt.Sprintf("bar%dR", i+1)
		add(left, bar(ends[i]+gap))
		if i == middle {
			add("mid", bar(0))
		}
		add(right, bar(ends[i+1]-gap))
		if i > 0 {
			link(fmt.Sprintf("bar%dR", i), left, usualHingeM)
		}
		if i == middle {
			link(left, "mid", 0)
			link("mid", right, 0)
		} else {
			link(left, right, 0)
		}
	}
	add("hitch", Point{Forward: hitchAheadM, Up: usualBarUpM})
	link("mid", "hitch", 0)
}

// remarks tells the person what was put in without being said.
func (f Facts) remarks() Remarks {
	r := Remarks{
		"heads": {
			"GUESSED: places are over the middle of the rows each feeds, and rows go from left to right. Measure and correct.",
			"NOT SAID: hose_m, the length of the longest hose of each head. Add it, and drill check will tell whether it reaches.",
		},
		"sensing": {"Products not to be sensed come off this list."},
	}
	add := func(key, text string) { r[key] = append(r[key], text) }
	if f.Ranks == 0 {
		add("rows", "GUESSED: the number of ranks. Count the lines of openers across the frame.")
	}
	if f.RankGapM == 0 && f.Ranks != 1 && f.Rows > 1 {
		add("rows", "GUESSED: the distance between ranks.")
	}
	if f.GNSS == nil {
		add("gnss", "GUESSED: measure from the front rank to the antenna.")
	}
	if f.SpeedMPS == 0 {
		add("work", "GUESSED: ask how fast they drive.")
	}
	if f.Volts == 0 {
		add("supply", "GUESSED: measure under load.")
	}
	if f.Wings > 0 {
		add("frame", "GUESSED: the width in equal parts between the hinges. Measure and correct.")
	}
	if f.Sections > 0 {
		add("sections", "GUESSED: equal parts of the width. Ask which runs each gate shuts.")
	}
	f.remarkProducts(add)
	add("supply", "NOT SAID: outlet_a, what the outlet may give, A; at_m, where it is.")
	add("cab", "NOT SAID: where the operator's head is; distances to the antenna are reckoned from it. A line like:")
	add("cab", "cab: {at_m: {forward: 12.0, right: 0.0, up: 2.6}}")
	add("lift", "NOT SAID: the lift linkage; it tells where a tilt sensor can sit. Measure, and write a line like:")
	add("lift", "lift: {kind: parallel, arm_m: 0.8, pivot_up_m: 0.7, pin_work_up_m: 0.5, pin_raised_up_m: 0.85}")
	add("air", "NOT SAID: the air, measured without product, and primary_m and primary_mm of each head. A line like:")
	add("air", "air: {primary_mps: 22, fan_pa: 6000, altitude_m: 300}")
	return r
}

func (f Facts) remarkProducts(add func(key, text string)) {
	if len(f.Products) == 0 {
		add("products", "GUESSED: one product. Ask what else goes down, and through which hoses.")
	}
	for i, p := range f.Products {
		if i > 0 && f.Shoot == Single {
			add("products", fmt.Sprintf("Single shoot: %s goes through the same hoses as %s, and the sensors count both.", p.ID, f.Products[0].ID))
			continue
		}
		if p.RateKgHa == 0 || p.TKWG == 0 {
			add("products", fmt.Sprintf("NOT SAID: rate_kg_ha or tkw_g of %s. Both are needed to foretell counts.", p.ID))
		}
		if p.Heads == 0 && len(p.Outlets) == 0 {
			add("heads", fmt.Sprintf("GUESSED: the number of heads of %s. Count them, and their outlets.", p.ID))
		}
		if i > 0 && f.Shoot == MidRow {
			add("heads", fmt.Sprintf("Mid-row banding: a band of %s between rows 1 and 2 goes by row 1, between 3 and 4 by row 3, and so on.", p.ID))
		}
	}
}
