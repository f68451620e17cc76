package allocate

// rank is what the rule compares, in its order.
type rank struct {
	nodes, pairs int
	m            float64 // total distance
}

// sameM is how far apart in total distance answers may be and still count as
// equally good, metres: a hundredth of a millimetre.
const sameM = 1e-5

func (r rank) less(o rank) bool {
	if r.nodes != o.nodes {
		return r.nodes < o.nodes
	}
	if r.pairs != o.pairs {
		return r.pairs < o.pairs
	}
	return r.m < o.m-sameM
}

func (p Problem) rank(nodes []Node) rank {
	r := rank{nodes: len(nodes)}
	for _, n := range nodes {
		r.pairs += len(n.Load)
		r.m += p.pattern(n).m
	}
	return r
}
