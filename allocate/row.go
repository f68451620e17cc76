package allocate

import "math"

// row is a condition on how often each pattern is used: the sum over patterns
// of its entry times the pattern's use is at least, or at most, rhs.
type row struct {
	kind rowKind
	at   int  // anywhere or a mount
	set  mask // of kind windowRow: mounts
	head int  // of kinds that count shares: a head
	runs int  // of kind sizeRow: size of the shares that count
	most bool // at most rhs, else at least
	rhs  float64
}

// rowKind says what a row counts.
type rowKind int

const (
	nodeRow   rowKind = iota // nodes at the mount
	windowRow                // nodes at a set of mounts
	pairRow                  // shares of all heads
	runRow                   // runs of the head that are served
	shareRow                 // shares of the head
	sizeRow                  // shares of the head of one size
	joinRow                  // configurations of the head: none of its patterns, see parted
)

const anywhere = -1

// entry is the pattern's entry in the row.
func (r *row) entry(p *pattern) float64 {
	if r.at != anywhere && r.at != p.At {
		return 0
	}
	switch r.kind {
	case nodeRow:
		return 1
	case windowRow:
		if r.set.has(p.At) {
			return 1
		}
		return 0
	case pairRow:
		return float64(len(p.Load))
	case joinRow:
		return 0
	}
	return r.worth(runsOf(p.Node, r.head))
}

// worth is what a share of so many runs of the row's head adds to the entry.
func (r *row) worth(runs int) float64 {
	switch {
	case runs == 0:
	case r.kind == runRow:
		return float64(runs)
	case r.kind == shareRow, r.kind == sizeRow && runs == r.runs:
		return 1
	}
	return 0
}

func atMost(kind rowKind, rhs float64) row {
	return row{kind: kind, at: anywhere, most: true, rhs: rhs}
}

// serveRows ask that each head is served, by enough shares of enough runs.
func (p *part) serveRows() []row {
	var rows []row
	for g, n := range p.Demand {
		if n == 0 {
			continue
		}
		rows = append(rows, row{kind: shareRow, at: anywhere, head: g, rhs: math.Ceil(float64(n) / float64(p.Cap))})
		if p.least[g] < n {
			rows = append(rows, row{kind: runRow, at: anywhere, head: g, rhs: float64(n)})
		}
	}
	return rows
}

// partRows ask that the shares of a head make it up: they are, by size, those
// of its configurations, of which there is one. Without them the programme
// could serve a head of 7 by a seventh of a share of 1 and so on; with them
// fractions of a head, too, are made up as a head is.
func (p *part) partRows(g int) []row {
	rows := []row{{kind: joinRow, at: anywhere, head: g, rhs: 1}}
	for a := 1; a <= min(p.Demand[g], p.Cap); a++ {
		rows = append(rows, row{kind: sizeRow, at: anywhere, head: g, runs: a})
	}
	return rows
}
