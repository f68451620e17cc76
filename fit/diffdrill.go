package fit

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"runproof/drill"
	"runproof/parts"
)

// drill compares two descriptions.
func (d *differ) drill(a, b *drill.Drill) {
	before := len(d.changes)
	d.text(DrillChanged, "name", quoted(a.Name), quoted(b.Name))
	d.text(DrillChanged, "units shown", a.Display.String(), b.Display.String())
	d.number(DrillChanged, "rows", float64(a.Rows.Count), float64(b.Rows.Count), "")
	d.number(DrillChanged, "row spacing", a.Rows.SpacingM, b.Rows.SpacingM, "m")
	d.text(DrillChanged, "ranks at", metres(a.Rows.RanksM), metres(b.Rows.RanksM))
	d.products(a.Products, b.Products)
	d.heads(a.Heads, b.Heads)
	d.sections(a.Sections, b.Sections)
	d.closed(a.Closed, b.Closed)
	d.text(DrillChanged, "cart", a.Cart.Position.String(), b.Cart.Position.String())
	d.place("antenna", a.GNSS.At, b.GNSS.At)
	d.number(DrillChanged, "usual speed", a.Work.SpeedMPS, b.Work.SpeedMPS, "m/s")
	d.sensing(a.Sensing, b.Sensing)
	d.outfit(a, b)
	d.frame(a.Frame, b.Frame)
	d.lift(a.Lift, b.Lift)
	d.air(a.Air, b.Air)
	d.tow(a.Tow, b.Tow)
	if len(d.changes) == before && !sameJSON(a, b) {
		d.say(DrillChanged, "order", "", "", "the same things stand in another order in the drill's description")
	}
}

// outfit compares what stands around the drill.
func (d *differ) outfit(a, b *drill.Drill) {
	d.number(DrillChanged, "supply", a.Supply.Volts, b.Supply.Volts, "V")
	d.number(DrillChanged, "what the power point may give", a.Supply.OutletA, b.Supply.OutletA, "A")
	d.number(DrillChanged, "resistance of the source", a.Supply.Ohm, b.Supply.Ohm, "ohm")
	d.told("power point", a.Supply.At, b.Supply.At)
	d.told("operator", a.Cab.At, b.Cab.At)
	d.number(DrillChanged, "cart length", a.Cart.LengthM, b.Cart.LengthM, "m")
	d.number(DrillChanged, "cart top", a.Cart.TopM, b.Cart.TopM, "m")
}

// told compares places that need not be told.
func (d *differ) told(about string, a, b *drill.Point) {
	switch {
	case a != nil && b != nil:
		d.place(about, *a, *b)
	case a != nil:
		d.say(DrillChanged, about, "told", "", "place of %s is no longer told", about)
	case b != nil:
		d.say(DrillChanged, about, "", "told", "place of %s is told now", about)
	}
}

func (d *differ) lift(a, b drill.Lift) {
	d.text(DrillChanged, "lift linkage", a.Kind.String(), b.Kind.String())
	d.number(DrillChanged, "lift arm", a.ArmM, b.ArmM, "m")
	d.number(DrillChanged, "lift pivot up", a.PivotUpM, b.PivotUpM, "m")
	d.number(DrillChanged, "lift pin at work up", a.PinWorkUpM, b.PinWorkUpM, "m")
	d.number(DrillChanged, "lift pin raised up", a.PinRaisedUpM, b.PinRaisedUpM, "m")
	d.number(DrillChanged, "steepest slope", a.SlopeDeg, b.SlopeDeg, "°")
	if a.SwitchContact != b.SwitchContact {
		way := map[bool]string{true: "a contact", false: "a tilt sensor"}
		d.text(DrillChanged, "work-state switch", way[a.SwitchContact], way[b.SwitchContact])
	}
}

func (d *differ) tow(a, b drill.Tow) {
	d.text(DrillChanged, "antenna rides on", a.Antenna.String(), b.Antenna.String())
	d.number(DrillChanged, "drill's hitch to where it turns", a.DrillM, b.DrillM, "m")
	d.number(DrillChanged, "cart's hitch to its axle", a.CartM, b.CartM, "m")
	d.number(DrillChanged, "tractor's axle to its hitch", a.TractorM, b.TractorM, "m")
}

func (d *differ) air(a, b drill.Air) {
	d.number(DrillChanged, "air speed in the primary lines", a.PrimaryMPS, b.PrimaryMPS, "m/s")
	d.number(DrillChanged, "air speed in the hoses", a.HoseMPS, b.HoseMPS, "m/s")
	d.number(DrillChanged, "pressure of the fan", a.FanPa, b.FanPa, "Pa")
	d.number(DrillChanged, "temperature of the air", a.TemperatureC, b.TemperatureC, "°C")
	d.number(DrillChanged, "altitude", a.AltitudeM, b.AltitudeM, "m")
}

func sameJSON(a, b any) bool {
	x, errA := json.Marshal(a)
	y, errB := json.Marshal(b)
	return errA == nil && errB == nil && string(x) == string(y)
}

func quoted(s string) string {
	if s == "" {
		return ""
	}
	return fmt.Sprintf("%q", s)
}

func metres(vs []float64) string {
	words := make([]string, len(vs))
	for i, v := range vs {
		words[i] = fmt.Sprintf("%g", v)
	}
	return strings.Join(words, ", ") + " m"
}

func (d *differ) products(as, bs []drill.Product) {
	paired(as, bs, func(p drill.Product) string { return string(p.ID) }, func(a, b drill.Product) {
		about := "product " + string(a.ID)
		d.text(DrillChanged, about+" material", a.Material, b.Material)
		d.number(DrillChanged, about+" rate", a.RateKgHa, b.RateKgHa, "kg/ha")
		d.number(DrillChanged, about+" mass of 1000 particles", a.TKWG, b.TKWG, "g")
		d.number(DrillChanged, about+" particle diameter", a.ParticleMM, b.ParticleMM, "mm")
		d.number(DrillChanged, about+" particle density", a.DensityKgM3, b.DensityKgM3, "kg/m3")
		d.number(DrillChanged, about+" terminal velocity", a.FallMPS, b.FallMPS, "m/s")
	}, func(p drill.Product) {
		d.say(DrillChanged, "product "+string(p.ID), string(p.ID), "", "product %s is gone", p.ID)
	}, func(p drill.Product) {
		d.say(DrillChanged, "product "+string(p.ID), "", string(p.ID), "product %s is new", p.ID)
	})
}

func (d *differ) heads(as, bs []drill.Head) {
	paired(as, bs, func(h drill.Head) string { return string(h.ID) }, func(a, b drill.Head) {
		about := "head " + string(a.ID)
		d.text(DrillChanged, about+" product", string(a.Product), string(b.Product))
		d.text(DrillChanged, about+" rows", a.Rows.String(), b.Rows.String())
		d.place(about, a.At, b.At)
		d.number(DrillChanged, about+" longest hose", a.HoseM, b.HoseM, "m")
		d.number(DrillChanged, about+" hose inside", a.HoseMM, b.HoseMM, "mm")
		d.number(DrillChanged, about+" primary line", a.PrimaryM, b.PrimaryM, "m")
		d.number(DrillChanged, about+" primary line inside", a.PrimaryMM, b.PrimaryMM, "mm")
		d.number(DrillChanged, about+" riser", a.RiserM, b.RiserM, "m")
		d.number(DrillChanged, about+" bends of its primary line", float64(a.Bends), float64(b.Bends), "")
	}, func(h drill.Head) {
		d.say(DrillChanged, "head "+string(h.ID), h.Rows.String(), "", "head %s is gone (%s to rows %s)", h.ID, h.Product, h.Rows)
	}, func(h drill.Head) {
		d.say(DrillChanged, "head "+string(h.ID), "", h.Rows.String(), "head %s is new (%s to rows %s)", h.ID, h.Product, h.Rows)
	})
}

func (d *differ) place(about string, a, b drill.Point) {
	d.number(DrillChanged, about+" forward", a.Forward, b.Forward, "m")
	d.number(DrillChanged, about+" right", a.Right, b.Right, "m")
	d.number(DrillChanged, about+" up", a.Up, b.Up, "m")
}

func (d *differ) sections(as, bs []drill.Section) {
	paired(as, bs, func(s drill.Section) string { return string(s.ID) }, func(a, b drill.Section) {
		d.text(DrillChanged, "section "+string(a.ID), members(a), members(b))
	}, func(s drill.Section) {
		d.say(DrillChanged, "section "+string(s.ID), members(s), "", "section %s is gone (%s)", s.ID, members(s))
	}, func(s drill.Section) {
		d.say(DrillChanged, "section "+string(s.ID), "", members(s), "section %s is new (%s)", s.ID, members(s))
	})
}

// members are what a section is made of: "heads A, B" or "runs A-1, A-2".
func members(s drill.Section) string {
	var words []string
	if len(s.Heads) > 0 {
		words = append(words, "heads "+join(s.Heads))
	}
	if len(s.Runs) > 0 {
		words = append(words, "runs "+join(s.Runs))
	}
	return strings.Join(words, " and ")
}

func join[T ~string](items []T) string {
	words := make([]string, len(items))
	for i, it := range items {
		words[i] = string(it)
	}
	return strings.Join(words, ", ")
}

func (d *differ) closed(as, bs []drill.RunID) {
	for _, r := range as {
		if !slices.Contains(bs, r) {
			d.say(DrillChanged, string(r), "closed", "open", "%s is open again", r)
		}
	}
	for _, r := range bs {
		if !slices.Contains(as, r) {
			d.say(DrillChanged, string(r), "open", "closed", "%s is closed on purpose now", r)
		}
	}
}

func (d *differ) sensing(a, b drill.Sensing) {
	d.text(DrillChanged, "node part", a.Node, b.Node)
	d.text(DrillChanged, "products sensed", join(a.Products), join(b.Products))
	d.number(DrillChanged, "ports left free on each node", float64(a.SparePorts), float64(b.SparePorts), "")
	d.number(DrillChanged, "sensors behind their heads", a.SensorFromHeadM, b.SensorFromHeadM, "m")
}

func (d *differ) frame(a, b drill.Frame) {
	paired(a.Points, b.Points, func(p drill.FramePoint) string { return p.ID }, func(a, b drill.FramePoint) {
		d.place("frame point "+a.ID, a.At, b.At)
	}, func(p drill.FramePoint) {
		d.say(DrillChanged, "frame point "+p.ID, p.ID, "", "frame point %s is gone", p.ID)
	}, func(p drill.FramePoint) {
		d.say(DrillChanged, "frame point "+p.ID, "", p.ID, "frame point %s is new", p.ID)
	})
	name := func(l drill.FrameLink) string { return l.From + " to " + l.To }
	paired(a.Links, b.Links, name, func(a, b drill.FrameLink) {
		d.number(DrillChanged, "frame link "+name(a)+" slack", a.SlackM, b.SlackM, "m")
	}, func(l drill.FrameLink) {
		d.say(DrillChanged, "frame link "+name(l), name(l), "", "frame link %s is gone", name(l))
	}, func(l drill.FrameLink) {
		d.say(DrillChanged, "frame link "+name(l), "", name(l), "frame link %s is new", name(l))
	})
}

// parts compares what the catalogue said of the parts that both fits use.
func (d *differ) parts(as, bs []parts.Part) {
	none := func(parts.Part) {}
	paired(as, bs, func(p parts.Part) string { return p.ID }, func(a, b parts.Part) {
		about := "part " + a.ID
		d.number(PartChanged, about+" ports", float64(a.Ports), float64(b.Ports), "")
		d.number(PartChanged, about+" longest tube", a.TubeMaxM, b.TubeMaxM, "m")
		d.number(PartChanged, about+" current", a.IdleA, b.IdleA, "A")
		d.number(PartChanged, about+" least voltage", a.VoltsMin, b.VoltsMin, "V")
	}, none, none)
}
