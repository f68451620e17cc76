package harness

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/parts"
)

// Plan lays the harness of a fit along the frame of its drill, with the gateway
// at that place. Every node stands at its head; the supply is where
// drill.Places says. A fit without nodes needs no harness and gets the zero
// one. Where the frame is in several pieces the harness is the zero one too;
// drill.Check says so and names the pieces. The error is an input.Fault: a node at
// a head that the drill does not have, a gateway part that is none.
func Plan(f *fit.Fit, cat parts.Catalogue, gateway drill.Point, opt Options) (fit.Harness, check.Results, error) {
	if len(f.Nodes) == 0 {
		return fit.Harness{}, nil, nil
	}
	frame := f.Drill.FrameOrDefault()
	if len(frame.Pieces()) > 1 {
		return fit.Harness{}, nil, nil
	}
	boxes, err := boxesOf(f, cat, gateway, opt)
	if err != nil {
		return fit.Harness{}, nil, err
	}
	h := newLayout(frame, f.Drill.Places().Supply, boxes, NewStock(cat), opt).harness()
	return h, Judge(h, cat, opt), nil
}

// Resize covers the legs anew where the options want other cross-sections or
// another rule; ways, order and names stay.
func Resize(h fit.Harness, cat parts.Catalogue, opt Options) fit.Harness {
	stock := NewStock(cat)
	h.Legs = slices.Clone(h.Legs)
	for i := range h.Legs {
		fill(&h.Legs[i], stock, opt)
	}
	h.BusM = busM(h)
	return h
}

// box is what hangs on the harness.
type box struct {
	id   string
	kind fit.PlaceKind
	at   drill.Point
	drop bool // it has one connector
}

// boxesOf are the gateway, then the nodes in the order of the fit.
func boxesOf(f *fit.Fit, cat parts.Catalogue, gateway drill.Point, opt Options) ([]box, error) {
	joins, err := gatewayJoins(cat, opt.Gateway)
	if err != nil {
		return nil, err
	}
	boxes := []box{{"gateway", fit.GatewayPlace, gateway, joins == parts.Drop}}
	for _, n := range f.Nodes {
		h, ok := f.Drill.Head(n.Head)
		if !ok {
			return nil, input.Fault{What: fmt.Sprintf("node %s is mounted at head %q, which the drill does not have", n.Serial, n.Head), Remedy: "plan the fit anew from this drill"}
		}
		part, _ := cat.Part(n.Part)
		boxes = append(boxes, box{n.Serial, fit.NodePlace, h.At, part.Joins == parts.Drop})
	}
	return boxes, nil
}

// gatewayJoins is how the gateway part joins the bus; without one in the
// catalogue it is taken to hang on a drop.
func gatewayJoins(cat parts.Catalogue, id string) (parts.Joining, error) {
	all := cat.Of(parts.Gateway)
	if id == "" {
		if len(all) == 0 {
			return parts.Drop, nil
		}
		return all[0].Joins, nil
	}
	p, ok := cat.Part(id)
	if !ok || p.Kind != parts.Gateway {
		ids := make([]string, len(all))
		for i, g := range all {
			ids[i] = g.ID
		}
		return 0, input.Fault{What: fmt.Sprintf("%q is no gateway of the catalogue", id), Remedy: input.DidYouMean(id, ids)}
	}
	return p.Joins, nil
}

// stop is one place on the backbone: a box with two connectors, or a junction
// with the box that drops from it. J1 is a stop; a gateway with two connectors
// stands beside it.
type stop struct {
	box   int // index of the box; -1 = J1 beside a gateway with two connectors
	drop  bool
	first bool // it is J1
	v     int  // vertex in the net
}

// layout is a harness in the making.
type layout struct {
	net    *net
	stands []stand // of the supply, then of the boxes
	boxes  []box
	stops  []stop // from left to right
	ways   map[int]ways
	stock  Stock
	opt    Options
	answer answer
}

// newLayout hangs supply and boxes on the frame and orders the stops of the
// backbone.
func newLayout(frame drill.Frame, supply drill.Point, boxes []box, stock Stock, opt Options) *layout {
	places := []drill.Point{supply}
	for _, b := range boxes {
		places = append(places, b.at)
	}
	n, stands := newNet(frame, places)
	l := &layout{net: n, stands: stands, boxes: boxes, stock: stock, opt: opt, ways: make(map[int]ways)}
	for i, b := range boxes {
		l.addStops(i, b)
	}
	slices.SortStableFunc(l.stops, func(a, b stop) int {
		p, q := n.at[a.v], n.at[b.v]
		return cmp.Or(cmp.Compare(p.Right, q.Right), cmp.Compare(q.Forward, p.Forward))
	})
	l.answer = bestOrder(n, l.matrix())
	return l
}

func (l *layout) addStops(i int, b box) {
	s := stop{box: i, drop: b.drop, first: b.kind == fit.GatewayPlace, v: l.stands[i+1].v}
	if b.drop {
		s.v = l.junctionAt(i)
	}
	if s.first && !b.drop {
		l.stops = append(l.stops, stop{box: -1, first: true, v: s.v})
		s.first = false
	}
	l.stops = append(l.stops, s)
}

// junctionAt is the vertex of the junction from which box i drops: where its
// way meets the frame, or at the box where the drop would be too long.
func (l *layout) junctionAt(i int) int {
	s := l.stands[i+1]
	leg := fit.Leg{RouteM: s.foot.OffM}
	fill(&leg, l.stock, l.opt)
	if l.opt.StubMaxM > 0 && leg.LengthM > l.opt.StubMaxM {
		return s.v
	}
	return s.on
}

// from are the ways from the vertex.
func (l *layout) from(v int) ways {
	w, ok := l.ways[v]
	if !ok {
		w = l.net.from(v)
		l.ways[v] = w
	}
	return w
}

func (l *layout) matrix() matrix {
	m := matrix{um: make([][]int, len(l.stops))}
	for i, s := range l.stops {
		w := l.from(s.v)
		m.um[i] = make([]int, len(l.stops))
		for j, t := range l.stops {
			m.um[i][j] = w.um[t.v]
		}
		m.vertex = append(m.vertex, s.v)
		m.right = append(m.right, l.net.at[s.v].Right)
	}
	return m
}

// fill chooses the pieces of a leg whose way is known.
func fill(leg *fit.Leg, stock Stock, opt Options) {
	leg.LoopM = metres(micro(opt.lay()*leg.RouteM + opt.loopM()))
	c := stock.Cover(leg.NeedM(), opt.areaMM2(*leg), opt.Cover)
	leg.LengthM, leg.Pieces, leg.AreaMM2 = c.LengthM, nil, opt.areaMM2(*leg)
	if len(c.Pieces) == 0 {
		leg.LengthM = leg.NeedM() // to be made: nothing in stock serves
		return
	}
	leg.AreaMM2 = c.Pieces[0].AreaMM2
	for _, p := range c.Pieces {
		leg.Pieces = append(leg.Pieces, p.ID)
	}
}

// busM is the length of the backbone as laid.
func busM(h fit.Harness) float64 {
	sum := 0.0
	for _, leg := range h.Legs {
		if leg.Bus {
			sum += leg.LengthM
		}
	}
	return roundMM(sum)
}

// roundMM rounds to millimetres: sums of lengths gather binary dust.
func roundMM(m float64) float64 { return math.Round(m*1000) / 1000 }
