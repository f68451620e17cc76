package power

import (
	"math"

	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// circuit is the supply conductors of a harness: a tree whose section i is leg
// i, and the boxes at its points.
type circuit struct {
	t     Tables
	cat   parts.Catalogue
	legs  []fit.Leg // in an order in which each begins where an earlier one ends
	from  []int     // section's near point, as in Tree
	boxes []box     // by section; the zero box draws nothing
	ohms  []ohms    // of the legs, kept beside them by set
	parts map[string]parts.Part
	fuse  parts.Part
	stock stock

	sparing bool // thicker legs only for limits, not for wishes
}

// ohms is the resistance of a leg's wire and contacts.
type ohms struct{ perM20, contacts float64 }

// set makes leg i another.
func (c *circuit) set(i int, l fit.Leg) {
	c.legs[i] = l
	c.ohms[i] = ohms{c.ohmPerM20(l), c.contactsOf(l)}
}

// box is what draws current at the far end of a section.
type box struct {
	id      string
	gateway bool
	amps    float64
	watts   float64
	least   float64 // volts at which it works; 0 = not said
	said    bool    // what it draws is said
}

// newCircuit sorts the legs of a harness outwards from the supply and puts the
// boxes at their ends.
func newCircuit(f *fit.Fit, h fit.Harness, cat parts.Catalogue, t Tables) *circuit {
	c := &circuit{t: t, cat: cat, stock: newStock(cat), parts: make(map[string]parts.Part)}
	for _, p := range cat.Parts {
		c.parts[p.ID] = p
	}
	reached := make(map[string]int)
	for _, p := range h.Places {
		if p.Kind == fit.SupplyPlace {
			reached[p.ID] = 0
		}
	}
	boxes := boxesOf(f, h, cat)
	for left := h.Legs; len(left) > 0; {
		var later []fit.Leg
		for _, l := range left {
			from, ok := reached[l.From]
			if !ok {
				later = append(later, l)
				continue
			}
			c.legs, c.ohms, c.from = append(c.legs, l), append(c.ohms, ohms{}), append(c.from, from)
			c.set(len(c.legs)-1, l)
			c.boxes = append(c.boxes, boxes[l.To])
			reached[l.To] = len(c.legs)
		}
		if len(later) == len(left) {
			break // no way from the supply: nothing there can be fed
		}
		left = later
	}
	return c
}

// boxesOf are the boxes of the fit by the id of their place.
func boxesOf(f *fit.Fit, h fit.Harness, cat parts.Catalogue) map[string]box {
	boxes := make(map[string]box)
	add := func(id string, p parts.Part, gateway bool) {
		b := box{id: id, gateway: gateway, amps: p.IdleA, watts: p.Watts, least: p.VoltsMin, said: p.IdleA > 0 || p.Watts > 0}
		if b.watts > 0 {
			b.amps = 0 // watts stand in place of amps
		}
		boxes[id] = b
	}
	for _, n := range f.Nodes {
		p, _ := cat.Part(n.Part)
		add(n.Serial, p, false)
	}
	for _, p := range h.Places {
		if p.Kind == fit.GatewayPlace {
			add(p.ID, gatewayPart(f, cat), true)
		}
	}
	return boxes
}

// gatewayPart is the gateway that the fit names, or the catalogue's first.
func gatewayPart(f *fit.Fit, cat parts.Catalogue) parts.Part {
	if p, ok := cat.Part(f.Radio.Gateway); ok && p.Kind == parts.Gateway {
		return p
	}
	if all := cat.Of(parts.Gateway); len(all) > 0 {
		return all[0]
	}
	return parts.Part{}
}

// The last digits written: what a document says is what was reckoned with.
const (
	ohmPerMDigits = 9
	ohmDigits     = 7
	voltDigits    = 6
	ampDigits     = 6
)

// ohmPerM20 is one conductor of the leg at 20 °C, ohm/m: the mean over its
// pieces by length.
func (c *circuit) ohmPerM20(l fit.Leg) float64 {
	sum, long := 0.0, 0.0
	for _, id := range l.Pieces {
		p := c.parts[id]
		r := p.OhmPerM
		if r == 0 {
			r = c.t.Resistance[0].OhmPerM(p.AreaMM2)
		}
		sum += r * p.LengthM
		long += p.LengthM
	}
	if long == 0 { // to be made: by the cross-section wanted
		return c.t.Resistance[0].OhmPerM(math.Max(l.AreaMM2, c.stock.thinnest()))
	}
	return sum / long
}

// contactsOf is all mated contacts of a leg, go and return, ohm.
func (c *circuit) contactsOf(l fit.Leg) float64 {
	const poles = 2
	each := poles * c.t.Joints.MatedPerPiece
	if len(l.Pieces) == 0 {
		return each * c.t.Joints.ContactOhm
	}
	ohm := 0.0
	for _, id := range l.Pieces {
		r := c.parts[id].ContactOhm
		if r == 0 {
			r = c.t.Joints.ContactOhm
		}
		ohm += each * r
	}
	return ohm
}

// contactOhm is all contacts of leg i, and at the supply the fuse in its
// holder.
func (c *circuit) contactOhm(i int) float64 {
	ohm := c.ohms[i].contacts
	if c.from[i] == 0 && c.fuse.Amps > 0 {
		ohm += c.fuseOhm()
	}
	return measure.Round(ohm, ohmDigits)
}

func (c *circuit) fuseOhm() float64 { return c.t.Fuse.Ohm(c.fuse.Amps) + c.t.Joints.HolderOhm }

// legsAt are the legs as the document has them in a case.
func (c *circuit) legsAt(celsius float64) []fit.PowerLeg {
	out := make([]fit.PowerLeg, len(c.legs))
	for i, l := range c.legs {
		out[i] = fit.PowerLeg{From: l.From, To: l.To, LengthM: l.LengthM, OhmPerM: measure.Round(c.ohms[i].perM20*TemperatureFactor(celsius), ohmPerMDigits), ContactOhm: c.contactOhm(i)}
	}
	return out
}

// tree is the circuit in a case of the supply.
func (c *circuit) tree(supplyV float64, legs []fit.PowerLeg) Tree {
	t := Tree{SupplyV: supplyV, Sections: make([]Section, len(legs))}
	for i, l := range legs {
		t.Sections[i] = Section{From: c.from[i], Ohm: 2*l.OhmPerM*l.LengthM + l.ContactOhm, Amps: c.boxes[i].amps, Watts: c.boxes[i].watts}
	}
	return t
}

// least are the volts that the boxes need, by section.
func (c *circuit) least() []float64 {
	out := make([]float64, len(c.boxes))
	for i, b := range c.boxes {
		out[i] = b.least
	}
	return out
}

// state is the circuit in one case: as all boxes would have it, and as it is
// once those that get too little have gone off.
type state struct {
	Case
	supplyV float64
	legs    []fit.PowerLeg
	asked   Solution // with all boxes on; no volts where there is no operating point
	now     Solution
	off     []int
}

// solve solves the circuit in one case.
func (c *circuit) solve(k Case, toldV float64) state {
	s := state{Case: k, supplyV: measure.Round(k.OfTold*toldV, voltDigits)}
	s.legs = c.legsAt(k.TemperatureC)
	t := c.tree(s.supplyV, s.legs)
	asked, err := Solve(t)
	if err == nil {
		s.asked = asked
	}
	s.now, s.off = Settle(t, c.least())
	return s
}

// volts are what a box at the end of section i gets with all boxes on, 0 where
// there is no operating point.
func (s state) volts(i int) float64 {
	if len(s.asked.Volts) == 0 {
		return 0
	}
	return s.asked.Volts[i+1]
}

// supplyA is what is drawn with all boxes on, A. Where there is no operating
// point it is what they would draw at the supply's voltage: more than that is
// asked for, and no figure says how much.
func (c *circuit) supplyA(s state) float64 {
	if len(s.asked.Volts) == 0 {
		return c.drawnAt(s.supplyV)
	}
	return s.asked.SupplyA(c.tree(s.supplyV, s.legs))
}

// drawnAt is what all boxes draw together at a voltage, A.
func (c *circuit) drawnAt(volts float64) float64 {
	sum := 0.0
	for _, b := range c.boxes {
		sum += b.amps + b.watts/volts
	}
	return sum
}

// document is the state as a fit carries it.
func (c *circuit) document(s state) fit.PowerCase {
	p := fit.PowerCase{Case: s.Case.Case, SupplyV: s.supplyV, TemperatureC: s.TemperatureC, Legs: s.legs, Loads: []fit.PowerLoad{}, Volts: make(map[string]float64)}
	gone := make(map[int]bool)
	for _, i := range s.off {
		gone[i] = true
		p.Off = append(p.Off, c.boxes[i].id)
	}
	for i, l := range c.legs {
		p.Legs[i].Amps = measure.Round(s.now.Amps[i], ampDigits)
		p.Volts[l.To] = measure.Round(s.now.Volts[i+1], voltDigits)
		if b := c.boxes[i]; b.said && !gone[i] {
			p.Loads = append(p.Loads, fit.PowerLoad{At: b.id, Amps: b.amps, Watts: b.watts})
		}
	}
	p.SupplyA = measure.Round(s.now.SupplyA(c.tree(s.supplyV, s.legs)), ampDigits)
	return p
}
