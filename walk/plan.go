package walk

import (
	"runproof/drill"
	"runproof/fit"
)

// planned is one sensed run as the fit has it.
type planned struct {
	drill.Run
	port fit.PortRef
	col  int // the port's index in the grid, -1 where the recording lacks it
}

// plannedRuns are the sensed runs in the order of the fit's map: nodes in the
// order a person walks, then ports.
func plannedRuns(f *fit.Fit, g *grid) []planned {
	described := map[drill.RunID]drill.Run{}
	for _, r := range f.Drill.Runs() {
		described[r.ID] = r
	}
	cols := map[fit.PortRef]int{}
	for i, p := range g.ports {
		cols[p] = i
	}
	runs := make([]planned, 0, len(f.Map))
	for _, l := range f.Map {
		r := planned{Run: described[l.Run], port: l.Ref(), col: -1}
		r.ID = l.Run
		if i, ok := cols[l.Ref()]; ok {
			r.col = i
		}
		runs = append(runs, r)
	}
	return runs
}

// seat is where the plan puts a port of the recording: the head and product
// whose flow it should share. Ports that the plan does not know have the seat
// of their node's first known port.
type seat struct{ head, product int }

// seats gives every port of the grid its seat; -1 means none.
func seats(runs []planned, ports []fit.PortRef) (seat []seat, products int) {
	heads, prods := map[drill.HeadID]int{}, map[drill.ProductID]int{}
	seat = noSeats(len(ports))
	byNode := map[string]int{}
	for _, r := range runs {
		h, p := indexOf(heads, r.Head), indexOf(prods, r.Product)
		if r.col >= 0 {
			seat[r.col].head, seat[r.col].product = h, p
		}
		if _, ok := byNode[r.port.Node]; !ok {
			byNode[r.port.Node] = p
		}
	}
	for i, p := range ports {
		if seat[i].product < 0 {
			seat[i].product = byNode[p.Node]
		}
	}
	return seat, max(1, len(prods))
}

func noSeats(n int) []seat {
	s := make([]seat, n)
	for i := range s {
		s[i] = seat{-1, -1}
	}
	return s
}

func indexOf[K comparable](m map[K]int, k K) int {
	i, ok := m[k]
	if !ok {
		i = len(m)
		m[k] = i
	}
	return i
}
