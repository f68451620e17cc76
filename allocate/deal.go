package allocate

import (
	"cmp"
	"slices"

	"runproof/drill"
)

// hand is what one node of a solution gets: its runs in the order of its
// ports.
type hand struct {
	at   drill.HeadID
	runs []drill.Run
}

// deal gives the runs of each head to the nodes that serve it, and orders the
// nodes as a person walks.
func deal(d *drill.Drill, s Solution) []hand {
	across := acrossOrder(d)
	hands := make([]hand, len(s.Nodes))
	sensed := sensedRuns(d)
	for g := range d.Heads {
		runs := sensed[g]
		for _, i := range sharers(d, s, g) {
			n := runsOf(s.Nodes[i], g)
			hands[i].runs = append(hands[i].runs, runs[:n]...)
			runs = runs[n:]
		}
	}
	for i, n := range s.Nodes {
		hands[i].at = d.Heads[n.At].ID
		slices.SortStableFunc(hands[i].runs, func(a, b drill.Run) int {
			return cmp.Or(cmp.Compare(across[a.Head], across[b.Head]), cmp.Compare(a.Outlet, b.Outlet))
		})
	}
	walk := make(map[drill.HeadID]int)
	for i, id := range drill.HeadOrder(d) {
		walk[id] = i
	}
	slices.SortStableFunc(hands, func(a, b hand) int {
		return cmp.Or(cmp.Compare(walk[a.at], walk[b.at]),
			cmp.Compare(across[a.runs[0].Head], across[b.runs[0].Head]), cmp.Compare(a.runs[0].Outlet, b.runs[0].Outlet))
	})
	return hands
}

// acrossOrder is the place of each head from left to right; heads straight
// behind one another keep the order of drill.HeadOrder.
func acrossOrder(d *drill.Drill) map[drill.HeadID]int {
	ids := drill.HeadOrder(d)
	slices.SortStableFunc(ids, func(a, b drill.HeadID) int {
		x, _ := d.Head(a)
		y, _ := d.Head(b)
		return cmp.Compare(x.At.Right, y.At.Right)
	})
	order := make(map[drill.HeadID]int, len(ids))
	for i, id := range ids {
		order[id] = i
	}
	return order
}

// sensedRuns are the sensed runs of each head, by outlet.
func sensedRuns(d *drill.Drill) [][]drill.Run {
	place := make(map[drill.HeadID]int)
	for i, h := range d.Heads {
		place[h.ID] = i
	}
	runs := make([][]drill.Run, len(d.Heads))
	for _, r := range d.Runs() {
		if r.Sensed {
			runs[place[r.Head]] = append(runs[place[r.Head]], r)
		}
	}
	return runs
}

// sharers are the nodes that serve head g, in the order in which they take its
// outlets: those whose runs lie further left first, so that tubes do not
// cross.
func sharers(d *drill.Drill, s Solution, g int) []int {
	var nodes []int
	for i, n := range s.Nodes {
		if runsOf(n, g) > 0 {
			nodes = append(nodes, i)
		}
	}
	slices.SortStableFunc(nodes, func(a, b int) int {
		x, y := s.Nodes[a], s.Nodes[b]
		return cmp.Or(cmp.Compare(middle(d, x), middle(d, y)), cmp.Compare(d.Heads[x.At].At.Right, d.Heads[y.At].At.Right), cmp.Compare(runsOf(y, g), runsOf(x, g)))
	})
	return nodes
}

// middle is how far right the runs of a node lie on average, by their heads.
func middle(d *drill.Drill, n Node) float64 {
	sum, runs := 0.0, 0
	for _, l := range n.Load {
		sum += float64(l.Runs) * d.Heads[l.Head].At.Right
		runs += l.Runs
	}
	return sum / float64(runs)
}
