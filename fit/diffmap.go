package fit

import (
	"fmt"

	"runproof/drill"
)

// nodes compares the nodes and returns, for each node of a that another stands
// in for, that other's serial.
func (d *differ) nodes(a, b *Fit) map[string]string {
	renamed := standIns(a, b)
	stands := make(map[string]bool)
	for _, by := range renamed {
		stands[by] = true
	}
	inB := make(map[string]Node)
	for _, n := range b.Nodes {
		inB[n.Serial] = n
	}
	inA := make(map[string]bool)
	for _, n := range a.Nodes {
		inA[n.Serial] = true
		if by, ok := renamed[n.Serial]; ok {
			d.say(NodeChanged, "node "+n.Serial, n.Serial, by, "node %s replaced by %s", n.Serial, by)
			d.node(n, inB[by])
		} else if m, ok := inB[n.Serial]; ok {
			d.node(n, m)
		} else {
			d.say(NodeChanged, "node "+n.Serial, n.Serial, "", "node %s at head %s is gone", n.Serial, n.Head)
		}
	}
	for _, n := range b.Nodes {
		if !inA[n.Serial] && !stands[n.Serial] {
			d.say(NodeChanged, "node "+n.Serial, "", n.Serial, "node %s at head %s is new", n.Serial, n.Head)
		}
	}
	return renamed
}

// node compares a node with itself or with the one that stands in for it.
func (d *differ) node(a, b Node) {
	if a.Head != b.Head {
		d.say(NodeChanged, "node "+b.Serial, string(a.Head), string(b.Head), "node %s moved from head %s to head %s", b.Serial, a.Head, b.Head)
	}
	d.text(NodeChanged, "node "+b.Serial+" part", a.Part, b.Part)
	d.number(NodeChanged, "node "+b.Serial+" ports", float64(a.Ports), float64(b.Ports), "")
}

// standIns finds nodes of b that took the place of nodes of a: new ones that
// listen at the same ports to at least half of the runs of one that is gone;
// of a node without runs, new ones at the same head.
func standIns(a, b *Fit) map[string]string {
	var gone, come []Node
	paired(a.Nodes, b.Nodes, func(n Node) string { return n.Serial }, func(Node, Node) {},
		func(n Node) { gone = append(gone, n) }, func(n Node) { come = append(come, n) })
	runs := func(f *Fit, serial string) map[int]drill.RunID {
		m := make(map[int]drill.RunID)
		for _, l := range f.Map {
			if l.Node == serial {
				m[l.Port] = l.Run
			}
		}
		return m
	}
	by, taken := make(map[string]string), make(map[string]bool)
	for _, n := range gone {
		old := runs(a, n.Serial)
		best, most := "", -1
		for _, c := range come {
			if taken[c.Serial] {
				continue
			}
			same := 0
			for port, run := range runs(b, c.Serial) {
				if old[port] == run {
					same++
				}
			}
			if same > most && 2*same >= len(old) && (len(old) > 0 || c.Head == n.Head) {
				best, most = c.Serial, same
			}
		}
		if best != "" {
			by[n.Serial] = best
			taken[best] = true
		}
	}
	return by
}

// seat is where a run is sensed before and after; a zero PortRef is nowhere.
type seat struct {
	run      drill.Run
	was, now PortRef
}

// runs compares the maps. A run whose node was replaced has not moved.
func (d *differ) runs(a, b *Fit, renamed map[string]string) {
	was, now := ports(a), ports(b)
	var seats []seat
	visit := func(r drill.Run) {
		s := seat{r, was[r.ID], now[r.ID]}
		same := s.was
		if by, ok := renamed[same.Node]; ok {
			same.Node = by
		}
		if same != s.now {
			seats = append(seats, s)
		}
	}
	in := make(map[drill.RunID]bool)
	for _, r := range b.Drill.Runs() {
		in[r.ID] = true
		visit(r)
	}
	for _, r := range a.Drill.Runs() {
		if !in[r.ID] {
			visit(r)
		}
	}
	for len(seats) > 0 {
		n := alike(seats)
		if n == 1 {
			if i := d.swap(seats); i > 0 {
				seats = append(seats[1:i:i], seats[i+1:]...)
				continue
			}
		}
		d.move(seats[:n])
		seats = seats[n:]
	}
}

func ports(f *Fit) map[drill.RunID]PortRef {
	m := make(map[drill.RunID]PortRef, len(f.Map))
	for _, l := range f.Map {
		m[l.Run] = l.Ref()
	}
	return m
}

// swap says that the first run and another changed places, and returns the
// other's index, or 0.
func (d *differ) swap(seats []seat) int {
	x := seats[0]
	for i, y := range seats[1:] {
		if x.was == y.now && y.was == x.now && x.was.Port > 0 && x.now.Port > 0 {
			about := fmt.Sprintf("%s and %s", x.run.ID, y.run.ID)
			d.say(RunChanged, about, x.was.words(PortRef{}), x.now.words(PortRef{}), "%s changed places: %s is at %s now, %s at %s",
				about, x.run.ID, x.now.words(PortRef{}), y.run.ID, y.now.words(x.now))
			d.concern(x, y)
			return i + 1
		}
	}
	return 0
}

// concern notes the runs of the change said last.
func (d *differ) concern(seats ...seat) {
	c := &d.changes[len(d.changes)-1]
	for _, s := range seats {
		c.Runs = append(c.Runs, s.run.ID)
	}
}

// words says a port: "4103 port 7", or "port 7" on the node said just before.
func (p PortRef) words(before PortRef) string {
	if p.Node == before.Node {
		return fmt.Sprintf("port %d", p.Port)
	}
	return fmt.Sprintf("%s port %d", p.Node, p.Port)
}

// fewAlike is how many neighbouring runs must have moved alike to be said in
// one sentence.
const fewAlike = 3

// alike is how many of the first seats are neighbouring outlets of one head
// that went from neighbouring ports to neighbouring ports; 1 where they are
// few.
func alike(seats []seat) int {
	next := func(a, b PortRef) bool {
		return a == b && a.Port == 0 || a.Node == b.Node && a.Port > 0 && b.Port == a.Port+1
	}
	n := 1
	for n < len(seats) {
		s, t := seats[n-1], seats[n]
		if t.run.Head != s.run.Head || t.run.Outlet != s.run.Outlet+1 || !next(s.was, t.was) || !next(s.now, t.now) {
			break
		}
		n++
	}
	if n < fewAlike {
		return 1
	}
	return n
}

// move says where runs that moved alike went.
func (d *differ) move(seats []seat) {
	first, last := seats[0], seats[len(seats)-1]
	about, is := string(first.run.ID), "is"
	if len(seats) > 1 {
		about, is = fmt.Sprintf("%s to %s", first.run.ID, last.run.ID), "are"
	}
	was, now := span(first.was, last.was, PortRef{}), span(first.now, last.now, PortRef{})
	switch {
	case first.now.Port == 0:
		d.say(RunChanged, about, was, "", "%s %s no longer sensed", about, is)
	case first.was.Port == 0:
		d.say(RunChanged, about, "", now, "%s %s now sensed, at %s", about, is, now)
	default:
		d.say(RunChanged, about, was, now, "%s moved from %s to %s", about, was, span(first.now, last.now, first.was))
	}
	d.concern(seats...)
}

// span says neighbouring ports of one node: "4103 ports 7 to 12".
func span(first, last, before PortRef) string {
	if first == last {
		return first.words(before)
	}
	s := fmt.Sprintf("ports %d to %d", first.Port, last.Port)
	if first.Node != before.Node {
		s = first.Node + " " + s
	}
	return s
}
