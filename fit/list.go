package fit

import (
	"bufio"
	"fmt"
	"io"

	"runproof/drill"
)

// WriteList writes the fit for a person at a screen: what made it, and node by
// node which port listens to which run. Neighbouring ports that listen to
// neighbouring outlets share a line.
func (f *Fit) WriteList(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "%s: revision %d, made by %s\n", orNone(f.Drill.Name), f.Revision, orNone(f.Made.By))
	if f.Made.Why != "" {
		fmt.Fprintf(b, "  %s\n", f.Made.Why)
	}
	for _, s := range f.Made.From {
		fmt.Fprintf(b, "  from %s (SHA-256 %.12s...)\n", s.Name, s.SHA256)
	}
	fmt.Fprintf(b, "%d nodes, %d pairs of node and head, %.1f m of tube, %d ports free; %s\n",
		f.Allocation.Nodes, f.Allocation.Pairs, f.Allocation.TubeM, f.FreePorts(), orNone(f.Allocation.Bound))
	runs := make(map[drill.RunID]drill.Run)
	for _, r := range f.Drill.Runs() {
		runs[r.ID] = r
	}
	for _, n := range f.Nodes {
		var links []Link
		for _, l := range f.Map {
			if l.Node == n.Serial {
				links = append(links, l)
			}
		}
		fmt.Fprintf(b, "node %s, %s, at head %s: %d of %d ports in use\n", n.Serial, n.Part, n.Head, len(links), n.Ports)
		for len(links) > 0 {
			k := together(links, runs)
			writeSpan(b, links[:k], runs)
			links = links[k:]
		}
	}
	return b.Flush()
}

// together is how many of the first links are neighbouring ports with
// neighbouring outlets of one head.
func together(links []Link, runs map[drill.RunID]drill.Run) int {
	n := 1
	for n < len(links) {
		a, b := links[n-1], links[n]
		r, s := runs[a.Run], runs[b.Run]
		if b.Port != a.Port+1 || s.Head != r.Head || s.Outlet != r.Outlet+1 {
			break
		}
		n++
	}
	return n
}

func writeSpan(w io.Writer, links []Link, runs map[drill.RunID]drill.Run) {
	first, last := links[0], links[len(links)-1]
	var rows drill.RowList
	for _, l := range links {
		rows = append(rows, runs[l.Run].Row)
	}
	ports, ids, row := fmt.Sprintf("port %d", first.Port), string(first.Run), "row"
	if len(links) > 1 {
		ports, ids, row = fmt.Sprintf("ports %d-%d", first.Port, last.Port), fmt.Sprintf("%s to %s", first.Run, last.Run), "rows"
	}
	fmt.Fprintf(w, "  %-12s %-16s %s, %s %s, tube %.2f m\n", ports, ids, runs[first.Run].Product, row, rows, first.TubeM)
}
