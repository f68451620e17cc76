package season

import (
	"fmt"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/review"
)

// Level is what a place is. The zero value is the whole drill.
type Level int

// The levels.
const (
	TheDrill  Level = iota
	OfProduct       // a product
	OfHead          // a head
	OfRun           // a run
	OfNode          // a node
)

var levelWords = [...]string{"drill", "product", "head", "run", "node"}

// String is the word in season.json.
func (l Level) String() string { return levelWords[l] }

// MarshalText is String.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads a word of season.json.
func (l *Level) UnmarshalText(b []byte) error {
	for i, w := range levelWords {
		if w == string(b) {
			*l = Level(i)
			return nil
		}
	}
	return fmt.Errorf("%q is no level; %s", b, input.DidYouMean(string(b), levelWords[:]))
}

// String names the place: "C-7", "head C", "node 4103", "all of seed".
func (p Place) String() string {
	switch p.Of {
	case OfRun:
		return string(p.Run)
	case OfHead:
		return "head " + string(p.Head)
	case OfNode:
		return "node " + p.Node
	case OfProduct:
		return "all of " + string(p.Product)
	}
	return "the drill"
}

// own says whether an event is this place's: the run's own, its runs' and its
// own of a head or node, everything of the drill.
func (p Place) own(ev *review.Event, nodes map[drill.RunID]string) bool {
	switch p.Of {
	case OfRun:
		return ev.Run == p.Run
	case OfHead:
		return ev.Head == p.Head && (ev.Run != "" || ev.Kind == review.HeadStarved)
	case OfNode:
		if TroubleOf(ev.Kind) != Sensing {
			return false
		}
		return ev.Run == "" && ev.Node == p.Node || ev.Run != "" && nodes[ev.Run] == p.Node
	case OfProduct:
		return ev.Product == p.Product
	}
	return true
}

// places are the drill's, level by level, in the drill's order; only sensed
// runs that are not closed, and what has one.
func places(f *fit.Fit) (whole, products, heads, runs, nodes []Place) {
	seenHead, seenProduct, seenNode := map[drill.HeadID]bool{}, map[drill.ProductID]bool{}, map[string]bool{}
	for _, r := range f.Drill.Runs() {
		port, ok := f.PortOf(r.ID)
		if !ok || r.Closed {
			continue
		}
		runs = append(runs, Place{Of: OfRun, Run: r.ID, Head: r.Head, Product: r.Product, Node: port.Node})
		if !seenHead[r.Head] {
			seenHead[r.Head], heads = true, append(heads, Place{Of: OfHead, Head: r.Head, Product: r.Product})
		}
		seenProduct[r.Product], seenNode[port.Node] = true, true
	}
	for _, p := range f.Drill.Products {
		if seenProduct[p.ID] {
			products = append(products, Place{Of: OfProduct, Product: p.ID})
		}
	}
	for _, n := range f.Nodes {
		if seenNode[n.Serial] {
			nodes = append(nodes, Place{Of: OfNode, Node: n.Serial})
		}
	}
	return []Place{{}}, products, heads, runs, nodes
}

// troubles are those that a place can be in.
func (p Place) troubles() []Trouble {
	switch p.Of {
	case OfRun:
		return []Trouble{Flow, Sensing}
	case OfNode:
		return []Trouble{Sensing}
	}
	return Troubles()
}

// holds says whether a run is part of the place.
func (p Place) holds(r Place) bool {
	switch p.Of {
	case OfRun:
		return r.Run == p.Run
	case OfHead:
		return r.Head == p.Head
	case OfNode:
		return r.Node == p.Node
	case OfProduct:
		return r.Product == p.Product
	}
	return true
}

// rivals says whether another place is of the same kind: what it is held
// against.
func (p Place) rivals(q Place) bool {
	return p.Of == q.Of && (p.Of == OfNode || p.Product == q.Product)
}
