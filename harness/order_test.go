package harness

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/fit"
)

// The check tree of the reference: S-C 6, C-A1 3, A1-A2 3, A2-A3 4, C-B1 3,
// B1-B2 3, B2-B3 4 m; 32 m through S with free ends (5040 orders enumerated;
// testdata/wiring.json, bus.order.free).
func TestBusOrderReference(t *testing.T) {
	pts := map[string]drill.Point{
		"S": {Forward: 6}, "C": {},
		"A1": {Right: -3}, "A2": {Right: -6}, "A3": {Right: -10},
		"B1": {Right: 3}, "B2": {Right: 6}, "B3": {Right: 10},
	}
	names := []string{"S", "C", "A1", "A2", "A3", "B1", "B2", "B3"}
	var f drill.Frame
	for _, id := range names {
		f.Points = append(f.Points, drill.FramePoint{ID: id, At: pts[id]})
	}
	for _, l := range [][2]string{{"S", "C"}, {"C", "A1"}, {"A1", "A2"}, {"A2", "A3"}, {"C", "B1"}, {"B1", "B2"}, {"B2", "B3"}} {
		f.Links = append(f.Links, drill.FrameLink{From: l[0], To: l[1]})
	}
	want := []string{"A3", "A2", "A1", "S", "B1", "B2", "B3"}
	var heads []drill.Point
	for _, id := range names[2:] {
		heads = append(heads, pts[id])
	}
	fitted := oneNodeAHead(framed(f, heads))
	for i, id := range names[2:] {
		fitted.Nodes[i].Serial = id
	}
	h, _, err := Plan(fitted, stockOf(1), pts["S"], Options{})
	if err != nil {
		t.Fatal(err)
	}
	got := slices.Clone(h.Bus)
	got[slices.Index(got, "J1")] = "S"
	if !slices.Equal(got, want) || h.RouteM != 32 || !h.Optimal {
		t.Errorf("bus %v, %g m, optimal %v; want %v, 32 m, proved", got, h.RouteM, h.Optimal, want)
	}
}

// Optima of an independent integer-programming solver (testdata/orders.json):
// at most 16 nodes are exact; above, the bound is kept and the gap that is
// stated covers the true one.
func TestAgainstIntegerProgramme(t *testing.T) {
	data := load[struct {
		Frames []struct {
			Rings int
			Frame struct {
				Points [][]any
				Links  [][2]string
			}
			Nodes     [][3]float64
			Gateway   [3]float64
			ShortestM float64 `json:"shortest_m"`
		}
	}](t, "orders.json")
	point := func(a [3]float64) drill.Point { return drill.Point{Forward: a[0], Right: a[1], Up: a[2]} }
	for i, c := range data.Frames {
		var f drill.Frame
		for _, p := range c.Frame.Points {
			f.Points = append(f.Points, drill.FramePoint{ID: p[0].(string), At: point([3]float64{p[1].(float64), p[2].(float64), p[3].(float64)})})
		}
		for _, l := range c.Frame.Links {
			f.Links = append(f.Links, drill.FrameLink{From: l[0], To: l[1]})
		}
		var heads []drill.Point
		for _, n := range c.Nodes {
			heads = append(heads, point(n))
		}
		name := fmt.Sprintf("frame %d, %d rings, %d nodes", i+1, c.Rings, len(heads))
		h, _, err := Plan(oneNodeAHead(framed(f, heads)), stockOf(1), point(c.Gateway), Options{})
		if err != nil {
			t.Fatal(err)
		}
		// Both round: the data to micrometres, the room each stretch to one.
		tol := 1e-6 * float64(4*len(heads)+10)
		switch over := h.RouteM - c.ShortestM; {
		case over < -1e-3-tol:
			t.Errorf("%s: %.4f m is shorter than the proved optimum %.4f m", name, h.RouteM, c.ShortestM)
		case over > 1e-3+tol && (h.Optimal || len(heads) <= 16):
			t.Errorf("%s: %.4f m, optimum %.4f m, said to be %s", name, h.RouteM, c.ShortestM, h.Bound)
		case over > 0.01*c.ShortestM:
			t.Errorf("%s: %.4f m is more than 1 %% over the optimum %.4f m", name, h.RouteM, c.ShortestM)
		default:
			t.Logf("%s: %.3f %% over the optimum; %s", name, over/c.ShortestM*100, h.Bound)
		}
	}
}

// randomNet is a frame of a tree of links, some with rings, and stops on it.
func randomNet(t *rapid.T, rings bool) (*net, matrix) {
	f := drill.Frame{}
	n := rapid.IntRange(2, 8).Draw(t, "points")
	coord := rapid.IntRange(-8, 8)
	for i := range n {
		at := drill.Point{Forward: float64(coord.Draw(t, "forward")) / 2, Right: float64(coord.Draw(t, "right")), Up: 1}
		f.Points = append(f.Points, drill.FramePoint{ID: fmt.Sprint(i), At: at})
		if i > 0 {
			f.Links = append(f.Links, drill.FrameLink{From: fmt.Sprint(rapid.IntRange(0, i-1).Draw(t, "parent")), To: fmt.Sprint(i)})
		}
	}
	if rings {
		for range rapid.IntRange(1, 3).Draw(t, "rings") {
			a, b := rapid.IntRange(0, n-1).Draw(t, "a"), rapid.IntRange(0, n-1).Draw(t, "b")
			if a != b {
				f.Links = append(f.Links, drill.FrameLink{From: fmt.Sprint(a), To: fmt.Sprint(b)})
			}
		}
	}
	boxes := []box{{id: "gateway", at: drill.Point{Right: float64(coord.Draw(t, "right of gateway")), Up: 2}, drop: true}}
	for i := range rapid.IntRange(1, 6).Draw(t, "boxes") {
		boxes = append(boxes, box{
			id: fmt.Sprint("N", i), kind: fit.NodePlace, drop: rapid.Bool().Draw(t, "drop"),
			at: drill.Point{Forward: float64(coord.Draw(t, "box forward")) / 2, Right: float64(coord.Draw(t, "box right")), Up: 1.5},
		})
	}
	l := newLayout(f, drill.Point{}, boxes, Stock{}, Options{})
	return l.net, l.matrix()
}

// shortestOf tries every order.
func shortestOf(m matrix) int {
	order := make([]int, len(m.um))
	for i := range order {
		order[i] = i
	}
	best := math.MaxInt
	var try func(k int)
	try = func(k int) {
		if k == len(order) {
			best = min(best, m.pathUM(order))
			return
		}
		for i := k; i < len(order); i++ {
			order[k], order[i] = order[i], order[k]
			try(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	try(0)
	return best
}

// On frames without rings the closed form, the dynamic programme and all orders
// tried agree; and the closed form is 2 W - D.
func TestTreeOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := randomNet(t, false)
		s, ok := n.spanOf(m.vertex)
		if !ok {
			t.Fatal("a tree is said to have rings")
		}
		walk := s.walk(m)
		a, b := m.farthest()
		want := shortestOf(m)
		if got := m.pathUM(walk); got != want || got != 2*s.um-m.um[a][b] || len(walk) != len(m.um) {
			t.Fatalf("walk %v of %d µm, 2 W - D %d µm, all orders %d µm", walk, got, 2*s.um-m.um[a][b], want)
		}
		g, members := m.groups()
		if got := m.pathUM(spread(exact(g), members)); got != want {
			t.Fatalf("dynamic programme %d µm, all orders %d µm", got, want)
		}
	})
}

// On any frame the dynamic programme agrees with all orders tried, the search
// is no shorter, and the bound is under both.
func TestRingOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := randomNet(t, true)
		want := shortestOf(m)
		g, members := m.groups()
		if got := m.pathUM(spread(exact(g), members)); got != want {
			t.Fatalf("dynamic programme %d µm, all orders %d µm", got, want)
		}
		if got := m.pathUM(bestOrder(n, m).order); got != want {
			t.Fatalf("best order %d µm, all orders %d µm", got, want)
		}
		if len(g.um) < 2 {
			return
		}
		line := search(g)
		low := lowerBound(g, g.pathUM(line))
		if found := g.pathUM(polish(g, line, low)); found < want || low > want || found > g.pathUM(line) {
			t.Fatalf("search %d, polished %d, bound %d, optimum %d µm", g.pathUM(line), found, low, want)
		}
	})
}

// More boxes never make the shortest line shorter.
func TestMoreBoxesNeverShorter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, m := randomNet(t, rapid.Bool().Draw(t, "with rings"))
		all := m.pathUM(exact(m))
		leave := rapid.IntRange(0, len(m.um)-1).Draw(t, "leave out")
		var keep []int
		for i := range m.um {
			if i != leave {
				keep = append(keep, i)
			}
		}
		less := matrix{um: make([][]int, len(keep))}
		for a, i := range keep {
			for _, j := range keep {
				less.um[a] = append(less.um[a], m.um[i][j])
			}
		}
		if got := less.pathUM(exact(less)); got > all {
			t.Fatalf("%d µm without stop %d, %d µm with it", got, leave, all)
		}
	})
}
