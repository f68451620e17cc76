package harness

import (
	"math"
	"math/bits"
)

// exact is the shortest line through all stops with free ends, by dynamic
// programming over subsets (Held and Karp 1962): with f(S, j) the shortest line
// that starts at j and goes through all of S,
//
//	f(S, j) = min over k in S \ {j} of d(j, k) + f(S \ {j}, k)
//
// Of equally short orders it takes the first by the numbers of the stops, which
// run from left to right. It panics for more stops than exactStops.
func exact(m matrix) []int {
	n := len(m.um)
	if n > exactStops {
		panic("harness: too many stops for the dynamic programme")
	}
	if n == 0 {
		return nil
	}
	f := make([]int, n<<n)
	for set := 1; set < 1<<n; set++ {
		for j := range n {
			if set>>j&1 == 1 {
				f[set*n+j] = m.shortest(f, set&^(1<<j), j)
			}
		}
	}
	var order []int
	set, best := 1<<n-1, math.MaxInt
	for j := range n {
		best = min(best, f[set*n+j])
	}
	for before := -1; set != 0; {
		for j := range n {
			if set>>j&1 == 0 {
				continue
			}
			step := 0
			if before >= 0 {
				step = m.um[before][j]
			}
			if step+f[set*n+j] == best {
				order, before = append(order, j), j
				best, set = f[set*n+j], set&^(1<<j)
				break
			}
		}
	}
	return order
}

// shortest is f(rest and j, j).
func (m matrix) shortest(f []int, rest, j int) int {
	if rest == 0 {
		return 0
	}
	n, best := len(m.um), math.MaxInt
	behind, um := f[rest*n:rest*n+n], m.um[j][:n]
	for left := uint(rest); left != 0; left &= left - 1 {
		k := bits.TrailingZeros(left)
		best = min(best, um[k]+behind[k])
	}
	return best
}
