package allocate

import "math"

// fracTol is how far from whole a count of the programme may be and still
// count as whole.
const fracTol = 1e-4

// usage is how an answer of the programme uses patterns.
type usage struct {
	*part
	pats []*pattern
	x    []float64
}

func (p *master) usage() usage {
	u := usage{part: p.part}
	for i, j := range p.lp.basis {
		if p.refs[j].kind == use && p.lp.x[i] > fracTol {
			u.pats = append(u.pats, &p.pats[p.refs[j].i])
			u.x = append(u.x, p.lp.x[i])
		}
	}
	return u
}

// count is something that a whole answer has a whole number of: shares of a
// head of one size at a mount. A field that is whichever leaves that out.
type count struct{ at, head, runs int }

const whichever = -1

// tally sums usage by count, in the order of first use.
type tally struct {
	keys []count
	sum  map[count]float64
}

func newTally() tally { return tally{sum: make(map[count]float64)} }

func (t *tally) add(k count, v float64) {
	if _, ok := t.sum[k]; !ok {
		t.keys = append(t.keys, k)
	}
	t.sum[k] += v
}

// broken is how far a number is from whole.
func broken(v float64) float64 { return math.Abs(v - math.Round(v)) }

// mostBroken is the count farthest from whole, the first of equals.
func (t *tally) mostBroken() (count, float64) {
	best, far := count{}, 0.0
	for _, k := range t.keys {
		if f := broken(t.sum[k]); f > far+1e-7 {
			best, far = k, f
		}
	}
	return best, far
}

// granularity says which fields of a count matter.
type granularity struct{ mount, head, size bool }

func (u usage) tally(by granularity) tally {
	t := newTally()
	for i, p := range u.pats {
		if !by.head {
			t.add(count{p.At, whichever, whichever}, u.x[i])
			continue
		}
		for _, l := range p.Load {
			k := count{whichever, l.Head, whichever}
			if by.mount {
				k.at = p.At
			}
			if by.size {
				k.runs = l.Runs
			}
			t.add(k, u.x[i])
		}
	}
	return t
}

// split finds the count that is farthest from whole, coarse counts first, and
// returns the rows that round it up and down. It reports false when all are
// whole.
func (u usage) split() (up, down row, ok bool) {
	for _, by := range []granularity{
		{head: true},
		{mount: true},
		{head: true, mount: true},
		{head: true, size: true},
		{head: true, mount: true, size: true},
	} {
		t := u.tally(by)
		if k, far := t.mostBroken(); far > fracTol {
			up, down = k.rows(t.sum[k])
			return up, down, true
		}
	}
	return row{}, row{}, false
}

// rows are the rows that keep a count off the value v between two whole
// numbers.
func (k count) rows(v float64) (up, down row) {
	r := row{kind: shareRow, at: k.at, head: k.head, runs: k.runs}
	switch {
	case k.head == whichever:
		r.kind, r.head = nodeRow, 0
	case k.runs != whichever:
		r.kind = sizeRow
	}
	up, down = r, r
	up.rhs = math.Ceil(v)
	down.rhs, down.most = math.Floor(v), true
	return up, down
}

// mixed are heads whose shares, by size, are not whole in number.
func (u usage) mixed() []int {
	var heads []int
	t := u.tally(granularity{head: true, size: true})
	is := make(map[int]bool)
	for _, k := range t.keys {
		if broken(t.sum[k]) > fracTol && !is[k.head] {
			is[k.head] = true
			heads = append(heads, k.head)
		}
	}
	return heads
}
