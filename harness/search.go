package harness

import (
	"math/rand/v2"
	"slices"
)

// How hard search tries. More brings nothing on frames of farm size.
const (
	orMost = 3   // stops that are moved together
	starts = 40  // lines begun, from stops spread over the drill
	kicks  = 200 // disturbances of the best line
)

// search is a short line through all stops with free ends: from the left, and
// from stops all over the drill always to the nearest, then improved until
// neither turning a stretch round nor moving up to three stops elsewhere
// shortens it.
func search(m matrix) []int {
	n := len(m.um)
	best := make([]int, n)
	for i := range best {
		best[i] = i
	}
	m.improve(best)
	for start := 0; start < n; start += 1 + n/starts {
		if p := m.nearestFirst(start); m.improve(p) < m.pathUM(best) {
			best = p
		}
	}
	return leftFirst(best)
}

// polish disturbs the line and improves it again a number of times, or until it
// is as short as it can be: least is a proved bound, micrometres. Chance has a
// fixed seed: the same frame, the same line.
func polish(m matrix, best []int, least int) []int {
	r := rand.New(rand.NewPCG(1962, 10))
	for k := 0; k < kicks && m.pathUM(best)-least >= sameUM; k++ {
		p := kick(best, r)
		if m.improve(p) < m.pathUM(best) {
			best = p
		}
	}
	return leftFirst(best)
}

func (m matrix) nearestFirst(start int) []int {
	path, used := []int{start}, make([]bool, len(m.um))
	used[start] = true
	for len(path) < len(m.um) {
		last, near := path[len(path)-1], -1
		for k := range m.um {
			if !used[k] && (near < 0 || m.um[last][k] < m.um[last][near]) {
				near = k
			}
		}
		used[near] = true
		path = append(path, near)
	}
	return path
}

// improve shortens the path in place until nothing shortens it further, and
// returns its length.
func (m matrix) improve(p []int) int {
	for m.turn(p) || m.move(p) {
	}
	return m.pathUM(p)
}

// step is the way between neighbours of the path; nothing before its beginning
// nor behind its end.
func (m matrix) step(p []int, i, j int) int {
	if i < 0 || j >= len(p) {
		return 0
	}
	return m.um[p[i]][p[j]]
}

// turn turns stretches of the path round where that shortens it (2-opt).
func (m matrix) turn(p []int) bool {
	better := false
	for i := range p {
		for j := i + 1; j < len(p); j++ {
			now := m.step(p, i-1, i) + m.step(p, j, j+1)
			if m.step(p, i-1, j)+m.step(p, i, j+1) < now {
				slices.Reverse(p[i : j+1])
				better = true
			}
		}
	}
	return better
}

// move moves up to three neighbours elsewhere, either way round, where that
// shortens the path (Or-opt).
func (m matrix) move(p []int) bool {
	for size := 1; size <= min(orMost, len(p)-1); size++ {
		for i := 0; i+size <= len(p); i++ {
			if m.moveOne(p, i, size) {
				return true
			}
		}
	}
	return false
}

// moveOne moves the stretch of that size at i to the first place where it
// shortens the path.
func (m matrix) moveOne(p []int, i, size int) bool {
	gain := m.step(p, i-1, i) + m.step(p, i+size-1, i+size) - m.step(p, i-1, i+size)
	if gain <= 0 {
		return false
	}
	part, rest := slices.Clone(p[i:i+size]), slices.Concat(p[:i], p[i+size:])
	first, last := part[0], part[size-1]
	for k := 0; k <= len(rest); k++ {
		in := -m.step(rest, k-1, k)
		there, back := in, in
		if k > 0 {
			there += m.um[rest[k-1]][first]
			back += m.um[rest[k-1]][last]
		}
		if k < len(rest) {
			there += m.um[last][rest[k]]
			back += m.um[first][rest[k]]
		}
		if min(there, back) >= gain {
			continue
		}
		if back < there {
			slices.Reverse(part)
		}
		copy(p, slices.Concat(rest[:k], part, rest[k:]))
		return true
	}
	return false
}

// kick swaps two neighbouring stretches of the path (the double bridge).
func kick(p []int, r *rand.Rand) []int {
	cuts := []int{r.IntN(len(p) + 1), r.IntN(len(p) + 1), r.IntN(len(p) + 1)}
	slices.Sort(cuts)
	return slices.Concat(p[:cuts[0]], p[cuts[1]:cuts[2]], p[cuts[0]:cuts[1]], p[cuts[2]:])
}
