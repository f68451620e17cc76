package harness

import "math"

const (
	ascents  = 1200 // steps of the ascent
	patience = 20   // steps without gain before the step is halved
)

// lowerBound is a length, micrometres, that no line through all stops with free
// ends is under. A line has each stop on it twice, but for its ends: with a
// penalty p for each stop's use, it is at least
//
//	least tree with d(i, j) + p(i) + p(j) + two least penalties - 2 sum p
//
// whatever the penalties (Held and Karp 1970, the ends joined through a place
// at no distance from any stop). The ascent turns the penalties toward trees
// that use each stop twice; found is the length of a known line, by which it
// measures its steps. All is whole numbers, so that the bound is exact.
func lowerBound(m matrix, found int) int {
	n := len(m.um)
	p, best := make([]int, n), 0
	var before []int
	scale, idle := 2.0, 0
	for range ascents {
		value, use := m.oneTree(p)
		if idle++; value > best {
			best, idle = value, 0
		} else if idle == patience {
			scale, idle = scale/2, 0
		}
		norm := 0
		for i := range use {
			use[i] -= 2
			norm += use[i] * use[i]
		}
		if norm == 0 || best >= found {
			break
		}
		if before == nil {
			before = use
		}
		step := scale * float64(found-value) / float64(norm)
		for i := range p {
			p[i] += int(math.Round(step * (0.7*float64(use[i]) + 0.3*float64(before[i]))))
		}
		before = use
	}
	return min(best, found)
}

// oneTree is the bound for these penalties, and how often its tree uses each
// stop (Prim 1957).
func (m matrix) oneTree(p []int) (value int, use []int) {
	n := len(p)
	use = make([]int, n)
	near, by := make([]int, n), make([]int, n)
	for i := range near {
		near[i] = math.MaxInt
	}
	in := make([]bool, n)
	for v := 0; v >= 0; {
		in[v] = true
		next := -1
		for k := range n {
			if in[k] {
				continue
			}
			if d := m.um[v][k] + p[v] + p[k]; d < near[k] {
				near[k], by[k] = d, v
			}
			if next < 0 || near[k] < near[next] {
				next = k
			}
		}
		if next >= 0 {
			value += near[next]
			use[next]++
			use[by[next]]++
		}
		v = next
	}
	a, b := twoLeast(p)
	use[a]++
	use[b]++
	value += p[a] + p[b]
	for _, x := range p {
		value -= 2 * x
	}
	return value, use
}

// twoLeast are the indices of the two least of at least two numbers.
func twoLeast(p []int) (a, b int) {
	a, b = 0, 1
	if p[b] < p[a] {
		a, b = b, a
	}
	for i := 2; i < len(p); i++ {
		if p[i] < p[a] {
			a, b = i, a
		} else if p[i] < p[b] {
			b = i
		}
	}
	return a, b
}
