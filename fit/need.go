package fit

import (
	"cmp"
	"slices"

	"runproof/drill"
	"runproof/parts"
)

// Need is what the fit asks of the catalogue of parts. A fit without a harness,
// as earlier ones are, asks for what does not hang on it.
func (f *Fit) Need() parts.Need {
	n := parts.Need{FreePorts: f.FreePorts(), Gateway: f.Radio.Gateway, Antenna: f.Radio.Antenna, Fuse: f.Protection.Part, Switch: f.WorkSwitch.On != ""}
	for _, node := range f.Nodes {
		i := slices.IndexFunc(n.Nodes, func(s parts.Some) bool { return s.Part == node.Part })
		if i < 0 {
			n.Nodes, i = append(n.Nodes, parts.Some{Part: node.Part}), len(n.Nodes)
		}
		n.Nodes[i].Pieces++
	}
	f.needOfRuns(&n)
	f.Harness.need(&n, f.joining)
	return n
}

// needOfRuns counts sensors by hose size, and tubes.
func (f *Fit) needOfRuns(n *parts.Need) {
	size := make(map[drill.RunID]float64)
	for _, h := range f.Drill.Heads {
		for i := range h.Rows {
			size[drill.NewRunID(h.ID, i+1)] = h.HoseMM
		}
	}
	for _, l := range f.Map {
		n.TubesM = append(n.TubesM, l.TubeM)
		i, found := slices.BinarySearchFunc(n.Hoses, size[l.Run], func(h parts.HoseNeed, mm float64) int { return cmp.Compare(h.MM, mm) })
		if !found {
			n.Hoses = slices.Insert(n.Hoses, i, parts.HoseNeed{MM: size[l.Run]})
		}
		n.Hoses[i].Sensors++
	}
}

// need counts what the harness takes. joins tells how the box at a place joins
// the bus.
func (h Harness) need(n *parts.Need, joins func(Place) parts.Joining) {
	if len(h.Legs) == 0 {
		return
	}
	n.Harness = true
	plugged := make(map[string]int) // connectors in use, by place
	for _, l := range h.Legs {
		n.Legs = append(n.Legs, parts.LegNeed{ID: l.ID, NeedM: l.NeedM(), AreaMM2: l.AreaMM2, Pieces: l.Pieces})
		plugged[l.From]++
		plugged[l.To]++
	}
	if k := len(h.Bus); k > 0 {
		plugged[h.Bus[0]]++ // a terminator
		plugged[h.Bus[k-1]]++
	}
	for _, p := range h.Places {
		if p.Kind == JunctionPlace {
			n.Junctions++
			n.Tees += h.TeesAt(p.ID)
			n.Plugs += h.TeesAt(p.ID) + 2 - plugged[p.ID] // each junction more takes one way and gives two
			continue
		}
		n.Plugs += max(0, connectors(p.Kind, joins(p))-plugged[p.ID])
	}
}

// connectors is how many harness connectors the thing at a place has: one at the
// power point, and at a box two where the harness goes through it, one where it
// hangs on a drop.
func connectors(k PlaceKind, j parts.Joining) int {
	if k == SupplyPlace || j == parts.Drop {
		return 1
	}
	return 2
}

// joining is how the box at a place joins the bus, by the part that the fit
// carries; through where it does not say.
func (f *Fit) joining(p Place) parts.Joining {
	id := f.Radio.Gateway
	if i := slices.IndexFunc(f.Nodes, func(n Node) bool { return n.Serial == p.ID }); i >= 0 {
		id = f.Nodes[i].Part
	}
	for _, part := range f.Parts {
		if part.ID == id || id == "" && part.Kind == parts.Gateway && p.Kind == GatewayPlace {
			return part.Joins
		}
	}
	return parts.Through
}
