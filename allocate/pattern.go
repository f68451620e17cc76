package allocate

// pattern is one way to use a node: where it is mounted and what it serves.
type pattern struct {
	Node
	runs int
	m    float64 // sum of distances
}

func (p Problem) pattern(n Node) pattern {
	pat := pattern{Node: n}
	for _, l := range n.Load {
		pat.runs += l.Runs
		pat.m += float64(l.Runs) * p.DistM[n.At][l.Head]
	}
	return pat
}

// key tells patterns apart.
func (p *pattern) key() string {
	b := make([]byte, 0, 2+4*len(p.Load))
	b = append(b, byte(p.At), byte(p.At>>8))
	for _, l := range p.Load {
		b = append(b, byte(l.Head), byte(l.Head>>8), byte(l.Runs), byte(l.Runs>>8))
	}
	return string(b)
}

// configuration is one way to make up a head of shares: how many of each size.
type configuration struct {
	head  int
	count []int // by runs
}

func (c *configuration) key() string {
	b := make([]byte, 0, 3+2*len(c.count))
	b = append(b, 'c', byte(c.head), byte(c.head>>8))
	for _, n := range c.count {
		b = append(b, byte(n), byte(n>>8))
	}
	return string(b)
}

// pool holds the patterns and the configurations found so far. Patterns that
// no better answer can use are resting.
type pool struct {
	pats    []pattern
	resting []bool
	cfgs    []configuration
	seen    map[string]int
}

func newPool() *pool { return &pool{seen: make(map[string]int)} }

// add returns the pattern's number, and whether it was not at hand before.
func (q *pool) add(p pattern) (int, bool) {
	k := p.key()
	if i, ok := q.seen[k]; ok {
		was := q.resting[i]
		q.resting[i] = false
		return i, was
	}
	q.seen[k] = len(q.pats)
	q.pats = append(q.pats, p)
	q.resting = append(q.resting, false)
	return len(q.pats) - 1, true
}

func (q *pool) addConfig(c configuration) (int, bool) {
	k := c.key()
	if i, ok := q.seen[k]; ok {
		return i, false
	}
	q.seen[k] = len(q.cfgs)
	q.cfgs = append(q.cfgs, c)
	return len(q.cfgs) - 1, true
}

// keeping is the pool of those patterns that the part allows.
func (q *pool) keeping(p *part) *pool {
	r := newPool()
	for _, pat := range q.pats {
		if p.allows(pat.Node) {
			r.add(pat)
		}
	}
	return r
}
