package harness

import (
	"cmp"
	"math"
	"slices"

	"runproof/drill"
)

// micro turns metres into whole micrometres: sums of them are exact, whatever
// the order, so that equally long ways are equal.
func micro(m float64) int { return int(math.Round(m * 1e6)) }

func metres(um int) float64 { return float64(um) / 1e6 }

// net is the frame as a graph: its points, the feet of the stands on its links,
// and the stands.
type net struct {
	frame drill.Frame
	at    []drill.Point
	edges [][]edge // of each vertex
}

// edge is one stretch between neighbouring vertices.
type edge struct {
	to   int
	um   int
	link int // of the frame; -1 = the way between frame and stand
}

// stand is where something hangs on the frame.
type stand struct {
	at   drill.Point
	foot drill.Foot
	on   int // vertex of the foot
	v    int // vertex of the stand itself
}

// newNet builds the graph of the frame and the stands at those places, the power
// point's first; places that are equal share a stand. The frame has at least one point.
func newNet(f drill.Frame, places []drill.Point) (*net, []stand) {
	n := &net{frame: f}
	byID := make(map[string]int, len(f.Points))
	for _, p := range f.Points {
		byID[p.ID] = n.vertex(p.At)
	}
	stands := make([]stand, len(places))
	onLink := make([][]int, len(f.Links)) // stands whose foot is on the link
	fixed := withoutJoints(f)
	for i, p := range places {
		on := fixed
		if i == 0 { // the power point is across the joints
			on = f
		}
		foot, _ := on.Foot(p)
		stands[i] = stand{at: p, foot: foot, on: -1}
		if foot.Link >= 0 {
			onLink[foot.Link] = append(onLink[foot.Link], i)
		} else {
			stands[i].on = slices.IndexFunc(f.Points, func(q drill.FramePoint) bool { return q.At == foot.At })
		}
	}
	for k, l := range f.Links {
		n.addLink(k, byID[l.From], byID[l.To], stands, onLink[k])
	}
	n.hang(stands)
	return n, stands
}

// withoutJoints is the frame without the joints by which drill, cart and tractor
// hang together: a box is fastened to one of these, and its leads must not leave the
// frame where nothing holds them. The links keep their numbers.
func withoutJoints(f drill.Frame) drill.Frame {
	f.Links = slices.Clone(f.Links)
	ends := []string{drill.PointTractor, drill.PointCartFront, drill.PointCartRear}
	for i, l := range f.Links {
		if l.SlackM > 0 && (slices.Contains(ends, l.From) || slices.Contains(ends, l.To)) {
			f.Links[i] = drill.FrameLink{}
		}
	}
	return f
}

func (n *net) vertex(at drill.Point) int {
	n.at = append(n.at, at)
	n.edges = append(n.edges, nil)
	return len(n.at) - 1
}

func (n *net) join(a, b, um, link int) {
	n.edges[a] = append(n.edges[a], edge{b, um, link})
	n.edges[b] = append(n.edges[b], edge{a, um, link})
}

// addLink adds the stretches of a link, cut at the feet of the stands on it.
func (n *net) addLink(link, from, to int, stands []stand, on []int) {
	slices.SortStableFunc(on, func(a, b int) int { return cmp.Compare(stands[a].foot.Part, stands[b].foot.Part) })
	total := micro(drill.DistanceM(n.at[from], n.at[to]))
	last, lastUM := from, 0
	for _, i := range on {
		s := &stands[i]
		um := int(math.Round(s.foot.Part * float64(total)))
		switch um {
		case lastUM:
			s.on = last
			continue
		case total:
			s.on = to
			continue
		}
		s.on = n.vertex(s.foot.At)
		n.join(last, s.on, um-lastUM, link)
		last, lastUM = s.on, um
	}
	n.join(last, to, total-lastUM, link)
}

// hang adds the vertices of the stands. One on the frame itself is its foot.
func (n *net) hang(stands []stand) {
	seen := make(map[drill.Point]int)
	for i := range stands {
		s := &stands[i]
		if k, ok := seen[s.at]; ok {
			*s = stands[k]
			continue
		}
		seen[s.at] = i
		s.v = s.on
		if um := micro(s.foot.OffM); um > 0 {
			s.v = n.vertex(s.at)
			n.join(s.on, s.v, um, -1)
		}
	}
}

// ways are the shortest ways from one vertex.
type ways struct {
	net  *net
	from int
	um   []int // to each vertex; math.MaxInt = none
	back []int // the vertex before; -1 = none
}

// from finds the shortest ways from v (Dijkstra 1959). Of equally short ones it
// takes that over vertices with lower numbers.
func (n *net) from(v int) ways {
	w := ways{n, v, make([]int, len(n.at)), make([]int, len(n.at))}
	done := make([]bool, len(n.at))
	for i := range w.um {
		w.um[i], w.back[i] = math.MaxInt, -1
	}
	w.um[v] = 0
	for {
		near := -1
		for i, d := range w.um {
			if !done[i] && d < math.MaxInt && (near < 0 || d < w.um[near]) {
				near = i
			}
		}
		if near < 0 {
			return w
		}
		done[near] = true
		for _, e := range n.edges[near] {
			if d := w.um[near] + e.um; d < w.um[e.to] {
				w.um[e.to], w.back[e.to] = d, near
			}
		}
	}
}

// to is the way to v as vertices, from first to last.
func (w ways) to(v int) []int {
	path := []int{v}
	for v != w.from {
		v = w.back[v]
		path = append(path, v)
	}
	slices.Reverse(path)
	return path
}

// hinges are the links with slack that the path uses any part of, in its order.
func (n *net) hinges(path []int) []drill.FrameLink {
	var hs []drill.FrameLink
	for i := 1; i < len(path); i++ {
		link := n.between(path[i-1], path[i])
		if link < 0 || n.frame.Links[link].SlackM == 0 {
			continue
		}
		if h := n.frame.Links[link]; !slices.Contains(hs, h) {
			hs = append(hs, h)
		}
	}
	return hs
}

// between is the link of the shortest edge between neighbours.
func (n *net) between(a, b int) int {
	best := edge{um: math.MaxInt, link: -1}
	for _, e := range n.edges[a] {
		if e.to == b && e.um < best.um {
			best = e
		}
	}
	return best.link
}

// points are the places of the path without repeats in a row.
func (n *net) points(path []int) []drill.Point {
	var ps []drill.Point
	for _, v := range path {
		if len(ps) == 0 || ps[len(ps)-1] != n.at[v] {
			ps = append(ps, n.at[v])
		}
	}
	return ps
}
