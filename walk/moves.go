package walk

import (
	"fmt"
	"slices"

	"runproof/fit"
)

// restore lists the fewest moves that restore the plan. Each tube that is
// found at another port must be moved at least once, and once is enough: a
// chain of moves begins where the planned port is free; in a cycle, where
// every planned port is taken by the next tube, the first tube waits loose
// until its port is free, and is put on last.
func (p *Proof) restore() {
	p.Moves = []Move{}
	todo := misplaced(p.Runs)
	for len(todo) > 0 {
		i := slices.IndexFunc(todo, func(m Move) bool { return !taken(todo, m.To) })
		if i >= 0 {
			m := todo[i]
			todo = slices.Delete(todo, i, i+1)
			m.Words = fmt.Sprintf("Move the tube of %s from %s to %s.", m.Run, say(m.From), to(m))
			p.Moves = append(p.Moves, m)
			continue
		}
		var cycle []Move
		cycle, todo = takeCycle(todo)
		p.Moves = append(p.Moves, cycle...)
	}
	p.exchangedNodes()
}

// misplaced are the moves of all runs found elsewhere, in the order of runs.
func misplaced(runs []Run) []Move {
	var out []Move
	for _, r := range runs {
		if r.Verdict == Moved && r.Found != nil {
			out = append(out, Move{Run: r.Run, From: *r.Found, To: r.Planned})
		}
	}
	return out
}

func taken(todo []Move, port fit.PortRef) bool {
	return slices.ContainsFunc(todo, func(m Move) bool { return m.From == port })
}

// takeCycle takes from moves none of which has a free target the cycle that
// the first lies in, in an order that can be done.
func takeCycle(todo []Move) (cycle, rest []Move) {
	first := todo[0]
	last := first // its tube waits loose; its port is free for the tube planned there
	free := first.From
	rest = slices.Clone(todo[1:])
	for {
		i := slices.IndexFunc(rest, func(m Move) bool { return m.To == free })
		if i < 0 {
			break
		}
		m := rest[i]
		rest = slices.Delete(rest, i, i+1)
		m.Words = fmt.Sprintf("Move the tube of %s from %s to %s.", m.Run, say(m.From), to(m))
		cycle = append(cycle, m)
		free = m.From
	}
	if len(cycle) > 0 {
		cycle[0].Words = fmt.Sprintf("Take the tube of %s off %s and leave it loose. ", first.Run, say(first.From)) + cycle[0].Words
	}
	last.Words = fmt.Sprintf("Put the loose tube of %s on %s.", last.Run, say(last.To))
	return append(cycle, last), rest
}

// to is the target as said after the start: the node only if it is another.
func to(m Move) string {
	if m.From.Node == m.To.Node {
		return fmt.Sprintf("port %d", m.To.Port)
	}
	return say(m.To)
}

// exchangedNodes notes where two nodes have changed places as a whole: then
// the nodes are better exchanged, or the proved map kept, than all tubes moved.
func (p *Proof) exchangedNodes() {
	type pair struct{ planned, found string }
	same, all := map[pair]int{}, map[string]int{}
	for _, r := range p.Runs {
		if r.Found == nil {
			continue
		}
		all[r.Planned.Node]++
		if r.Verdict == Moved && r.Found.Port == r.Planned.Port && r.Found.Node != r.Planned.Node {
			same[pair{r.Planned.Node, r.Found.Node}]++
		}
	}
	var nodes []string
	for _, r := range p.Runs {
		if !slices.Contains(nodes, r.Planned.Node) {
			nodes = append(nodes, r.Planned.Node)
		}
	}
	for i, a := range nodes {
		for _, b := range nodes[i+1:] {
			if n, m := same[pair{a, b}], same[pair{b, a}]; n >= 2 && m >= 2 && 2*n > all[a] && 2*m > all[b] {
				p.Notes = append(p.Notes, fmt.Sprintf("Nodes %s and %s have changed places: exchange the two nodes, or keep the map as found, instead of moving %d tubes.", a, b, n+m))
			}
		}
	}
}

// ProvedMap is the fit's map as the walk found it, for fit.WithMap, and the
// runs that had to be left out of it because their planned port proved to hear
// another run and nothing tells where they are.
func (p *Proof) ProvedMap(f *fit.Fit) (links []fit.Link, without []Run) {
	ports := map[string]int{}
	for _, n := range f.Nodes {
		ports[n.Serial] = n.Ports
	}
	used := map[fit.PortRef]bool{}
	add := func(l fit.Link, at fit.PortRef) {
		used[at] = true
		l.Node, l.Port = at.Node, at.Port
		links = append(links, l)
	}
	var later []int
	for i, r := range p.Runs {
		if r.Found != nil && r.Found.Port <= ports[r.Found.Node] && !used[*r.Found] {
			add(f.Map[i], *r.Found)
			continue
		}
		later = append(later, i)
	}
	for _, i := range later {
		if r := p.Runs[i]; !used[r.Planned] {
			add(f.Map[i], r.Planned)
		} else {
			without = append(without, r)
		}
	}
	return links, without
}
