package yard

import (
	"fmt"
	"slices"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// bare is a plain fit for a drill: each head has nodes of 12 ports for its own
// sensed runs, and nothing else is planned. It stands in for the planner, which has
// tests of its own.
func bare(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 2, Drill: *d, Made: fit.Provenance{By: "runproof plan"}}
	serial := 4101
	for _, id := range drill.HeadOrder(d) {
		var node *fit.Node
		port := 0
		for _, r := range d.Runs() {
			if r.Head != id || !r.Sensed {
				continue
			}
			if node == nil || port == node.Ports {
				f.Nodes = append(f.Nodes, fit.Node{Serial: fmt.Sprint(serial), Part: "node-12", Ports: 12, Head: id})
				node, port = &f.Nodes[len(f.Nodes)-1], 0
				serial++
			}
			port++
			f.Map = append(f.Map, fit.Link{Run: r.ID, Node: node.Serial, Port: port, TubeM: 0.4 + 0.13*float64(port%3)})
		}
	}
	return f
}

// whole is a fit in which all is planned: a backbone through all nodes from a
// junction, a drop to the gateway, volts, bus, radio and switch. The figures are made up, and
// alike for every drill, so that a change of a planner changes no sheet here.
func whole(d *drill.Drill) *fit.Fit {
	f := bare(d)
	f.Kit = parts.Kit{Lines: []parts.Line{
		{Part: "node-12", Kind: parts.Node, Name: "sensing node, 12 ports", Count: len(f.Nodes)},
		{Part: "cap", Kind: parts.Cap, Name: "port cap", Count: f.FreePorts(), Spare: 1, Why: "one for each port that listens to no run"},
		{Part: "gateway", Kind: parts.Gateway, Name: "gateway to the cab", Count: 1},
		{Part: "terminator", Kind: parts.Terminator, Name: "bus terminator 120 ohm", Count: 2, Why: "one at each end of the bus"},
	}}
	lay(f)
	f.Protection = fit.Protection{Part: "fuse-5", RatingA: 5, ContinuousA: 1.4}
	f.Bus = fit.Bus{
		Terminators: []fit.Terminator{{At: f.Harness.Bus[0], Part: "terminator", Ohm: 120}},
		Meter: fit.Ohmmeter{Ohm: 60.24, EndA: 60.2, EndB: 60.3, Words: "Power off: measure between the two wires of the pair.", Bands: []fit.OhmBand{
			{FromOhm: 0, ToOhm: 5, Means: fit.OhmShort, Words: "the two wires touch"},
			{FromOhm: 5, ToOhm: 50, Means: fit.OhmDoubtful, Words: "fits no count of terminators"},
			{FromOhm: 50, ToOhm: 65, Means: fit.OhmGood, Words: "two terminators, as it must be"},
			{FromOhm: 65, Means: fit.OhmOpen, Words: "no terminator is reached"},
		}},
	}
	f.Radio = fit.Radio{Gateway: "gateway", Antenna: "antenna", People: fit.Exposure{RequiredM: 0.2}, Options: []fit.RadioOption{{
		Gateway: drill.Point{Forward: 3, Up: 1.4}, GatewayOn: "hitch beam", Antenna: drill.Point{Forward: 3.2, Right: 0.5, Up: 2.2}, AntennaOn: "left rail of the cart", LeadM: 1.6, OperatorM: 7.5,
	}}}
	work, up, raise, lower := -14.5, 10.8, 2.0, -6.0
	f.WorkSwitch = fit.WorkSwitch{Kind: fit.TiltSwitch, Node: f.Nodes[0].Serial, Part: "work-switch", On: "arm of the parallel linkage", At: drill.Point{Forward: -0.5, Right: 0.2, Up: 0.7}, Work: fit.WorkBelow, WorkDeg: &work, UpDeg: &up, RaiseAt: &raise, LowerAt: &lower, HoldS: 0.5}
	return f
}

// lay gives the fit a harness and volts.
func lay(f *fit.Fit) {
	h := &f.Harness
	h.Places = []fit.Place{{ID: "supply"}, {ID: "J1", Kind: fit.JunctionPlace}, {ID: "gateway", Kind: fit.GatewayPlace}}
	h.Places[0].At, h.Places[1].At, h.Places[2].At = drill.Point{Forward: 9, Up: 1.2}, drill.Point{Forward: 3, Up: 0.6}, drill.Point{Forward: 3, Up: 1.4}
	leg := func(from, to string, l fit.Leg) {
		l.ID, l.From, l.To, l.AreaMM2 = fmt.Sprintf("L%d", len(h.Legs)+1), from, to, 1
		for _, id := range []string{from, to} {
			i := slices.IndexFunc(h.Places, func(p fit.Place) bool { return p.ID == id })
			h.Places[i].OnFrame = h.Places[i].At
			l.Path = append(l.Path, h.Places[i].At)
		}
		h.Legs = append(h.Legs, l)
	}
	leg("supply", "J1", fit.Leg{RouteM: 6.7, HingeM: 1, LoopM: 0.6, LengthM: 8.5, Pieces: []string{"leg-1.0-8", "leg-1.0-0.5"}, Hinges: []drill.FrameLink{{From: "hitch", To: "cart-rear", SlackM: 1}}})
	leg("J1", "gateway", fit.Leg{LoopM: 0.3, LengthM: 0.5, Pieces: []string{"leg-1.0-0.5"}, Drop: true})
	last := "J1"
	h.Bus = []string{"J1"}
	c := fit.PowerCase{Case: "engine off", SupplyV: 12, TemperatureC: 40, Volts: map[string]float64{"J1": 11.9, "gateway": 11.89}}
	for i, n := range f.Nodes {
		head, _ := f.Drill.Head(n.Head)
		h.Places = append(h.Places, fit.Place{ID: n.Serial, Kind: fit.NodePlace, At: head.At})
		leg(last, n.Serial, fit.Leg{RouteM: 3.6, LoopM: 0.5, LengthM: 4.5, Pieces: []string{"leg-1.0-3", "leg-1.0-1", "leg-1.0-0.5"}, Bus: true})
		last = n.Serial
		h.Bus = append(h.Bus, n.Serial)
		c.Volts[n.Serial] = 11.8 - 0.01*float64(i)
	}
	f.Power = []fit.PowerCase{{Case: "charging", SupplyV: 14}, c}
}

// broken is a rule that is not kept.
func brokenRule() check.Result {
	return check.Result{Rule: "volts at the last node", Of: "node 4101", Quantity: measure.Voltage, Value: 8.2, Bound: check.AtLeast, Limit: 9, Source: "its part", Advice: "use legs of 2.5 mm²"}
}
