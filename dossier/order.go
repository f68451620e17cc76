package dossier

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"runproof/drill"
	"runproof/fit"
	"runproof/views"
)

// namedNode is a node with all that a person needs to type it in.
type namedNode struct {
	fit.Node
	Name  string          // sorts from left to right in a list of names: "01 A", "02 A", "03 B"
	Links []fit.Link      // by port
	Heads []drill.HeadID  // that it serves, in the order of its ports
	Feeds []drill.Product // that it senses
}

// nameNodes returns the nodes from left to right. Names are numbered, with as
// many digits as the count needs, so that a monitor that sorts names as text
// lists them in this order.
func nameNodes(f *fit.Fit) []namedNode {
	digits := max(2, len(strconv.Itoa(len(f.Nodes))))
	nodes := slices.Clone(f.Nodes)
	place := map[drill.HeadID]int{}
	for i, h := range views.HeadsLeftToRight(&f.Drill) {
		place[h.ID] = i
	}
	slices.SortStableFunc(nodes, func(a, b fit.Node) int { return cmp.Compare(place[a.Head], place[b.Head]) })
	runs := runsByID(&f.Drill)
	named := make([]namedNode, len(nodes))
	for i, n := range nodes {
		named[i] = namedNode{Node: n, Name: fmt.Sprintf("%0*d %s", digits, i+1, n.Head), Links: linksOf(f, n.Serial)}
		named[i].serve(f, runs)
	}
	return named
}

// serve fills in the heads and products that the node's ports listen to.
func (n *namedNode) serve(f *fit.Fit, runs map[drill.RunID]drill.Run) {
	for _, l := range n.Links {
		r := runs[l.Run]
		if !slices.Contains(n.Heads, r.Head) {
			n.Heads = append(n.Heads, r.Head)
		}
		if p, ok := f.Drill.Product(r.Product); ok && !slices.Contains(n.Feeds, p) {
			n.Feeds = append(n.Feeds, p)
		}
	}
}

func linksOf(f *fit.Fit, serial string) []fit.Link {
	var links []fit.Link
	for _, l := range f.Map {
		if l.Node == serial {
			links = append(links, l)
		}
	}
	slices.SortStableFunc(links, func(a, b fit.Link) int { return cmp.Compare(a.Port, b.Port) })
	return links
}

func runsByID(d *drill.Drill) map[drill.RunID]drill.Run {
	by := map[drill.RunID]drill.Run{}
	for _, r := range d.Runs() {
		by[r.ID] = r
	}
	return by
}

// listing joins what has a text with commas.
func listing[T any](items []T, text func(T) string) string {
	s := ""
	for i, it := range items {
		if i > 0 {
			s += ", "
		}
		s += text(it)
	}
	return s
}

// rangesOf writes ascending numbers as a person would: "1-4, 7".
func rangesOf(numbers []int) string { return drill.RowList(numbers).String() }

// nodesAt lists the serials of the nodes mounted at a head.
func (b *book) nodesAt(id drill.HeadID) string {
	var at []string
	for _, n := range b.f.Nodes {
		if n.Head == id {
			at = append(at, n.Serial)
		}
	}
	return listing(at, func(s string) string { return s })
}

func sorted(n []int) []int {
	s := slices.Clone(n)
	slices.Sort(s)
	return s
}

func sortedKeys[V any](m map[float64]V) []float64 {
	return slices.Sorted(maps.Keys(m))
}

// roundCM rounds to whole centimetres, in which tube is cut.
func roundCM(m float64) float64 { return math.Round(m*100) / 100 }
