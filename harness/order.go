package harness

import (
	"fmt"
	"slices"
)

// exactStops is how many different stops the dynamic programme takes: 16 boxes
// and J1.
const exactStops = 17

// answer is an order of the stops of the backbone, and what is known of it.
type answer struct {
	order   []int
	optimal bool
	bound   string
}

// bestOrder is the shortest line through all stops with free ends that could be
// found, and how far it is proved.
func bestOrder(n *net, m matrix) answer {
	if s, ok := n.spanOf(m.vertex); ok {
		order := s.walk(m)
		return answer{order, true, "closed form on a frame without rings: twice its length less the longest way"}
	}
	g, members := m.groups()
	if len(g.um) <= exactStops {
		return answer{spread(exact(g), members), true, "dynamic programme over all orders"}
	}
	order := search(g)
	least := lowerBound(g, g.pathUM(order))
	order = polish(g, order, least)
	found := g.pathUM(order)
	a := answer{order: spread(order, members)}
	if found-least < sameUM {
		a.optimal = true
		a.bound = "spanning-tree bound reached"
		return a
	}
	a.bound = fmt.Sprintf("within %.1f %% of a proved bound (spanning trees with penalties)", ceilTenth(float64(found-least)/float64(least)*100))
	return a
}

// sameUM: an order that is less than a millimetre shorter is not shorter.
const sameUM = 1000

// ceilTenth rounds up, so that the gap stated is never under the gap proved.
func ceilTenth(v float64) float64 {
	tenths := float64(int(v * 10))
	if tenths < v*10 {
		tenths++
	}
	return tenths / 10
}

// spread puts the members of each group in place of the group.
func spread(order []int, members [][]int) []int {
	var all []int
	for _, g := range order {
		all = append(all, members[g]...)
	}
	return all
}

// leftFirst turns the order round where it starts farther right than it ends.
func leftFirst(order []int) []int {
	if len(order) > 0 && order[0] > order[len(order)-1] {
		slices.Reverse(order)
	}
	return order
}
