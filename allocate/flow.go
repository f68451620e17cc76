package allocate

import "math"

// serve distributes the runs over mounts with so many nodes each, at least
// total distance: a transport problem, solved by successive shortest paths. It
// returns runs[mount][head]. Where the nodes do not suffice it returns heads
// that together have more runs than the nodes in reach of them can serve.
func (p *part) serve(nodes []int) (runs [][]int, cut []int, ok bool) {
	n := len(p.Demand)
	flow := make([][]int, n)
	room := make([]int, n)
	for at := range flow {
		flow[at] = make([]int, n)
		room[at] = nodes[at] * p.Cap
	}
	for g, d := range p.Demand {
		for d > 0 {
			path, amount, reached := p.cheapest(flow, room, g, d)
			if path == nil {
				return nil, reached, false
			}
			// path: head, mount, head, mount, ... ends at a mount with room
			for i := 0; i+1 < len(path); i += 2 {
				flow[path[i+1]][path[i]] += amount
				if i+2 < len(path) {
					flow[path[i+1]][path[i+2]] -= amount
				}
			}
			room[path[len(path)-1]] -= amount
			d -= amount
		}
	}
	return flow, nil, true
}

// cheapest is the cheapest way to serve more runs of head g, by moving those
// of others to other mounts where that helps (Bellman and Ford).
func (p *part) cheapest(flow [][]int, room []int, g, most int) (path []int, amount int, reached []int) {
	n := len(p.Demand)
	head, mount := make([]float64, n), make([]float64, n)
	fromHead, fromMount := make([]int, n), make([]int, n)
	for i := range head {
		head[i], mount[i] = math.Inf(1), math.Inf(1)
	}
	head[g] = 0
	fromMount[g] = -1
	for changed := true; changed; {
		changed = false
		for at, heads := range p.near {
			for _, h := range heads {
				if d := head[h] + p.DistM[at][h]; d < mount[at]-1e-9 {
					mount[at], fromHead[at], changed = d, h, true
				}
			}
			for _, h := range heads {
				if flow[at][h] > 0 {
					if d := mount[at] - p.DistM[at][h]; d < head[h]-1e-9 {
						head[h], fromMount[h], changed = d, at, true
					}
				}
			}
		}
	}
	end := -1
	for at := range mount {
		if room[at] > 0 && !math.IsInf(mount[at], 1) && (end < 0 || mount[at] < mount[end]) {
			end = at
		}
	}
	if end < 0 {
		for h, d := range head {
			if !math.IsInf(d, 1) {
				reached = append(reached, h)
			}
		}
		return nil, 0, reached
	}
	amount = min(most, room[end])
	for at := end; ; {
		h := fromHead[at]
		path = append([]int{h, at}, path...)
		if h == g {
			return path, amount, nil
		}
		at = fromMount[h]
		amount = min(amount, flow[at][h])
	}
}

// loads splits what each mount serves into nodes, the nearest heads first.
func (p *part) loads(runs [][]int) []Node {
	var out []Node
	for at, heads := range p.near {
		room := 0
		for _, g := range heads {
			for left := runs[at][g]; left > 0; {
				if room == 0 {
					out = append(out, Node{At: at})
					room = p.Cap
				}
				n := &out[len(out)-1]
				take := min(left, room)
				n.Load = append(n.Load, Share{g, take})
				left -= take
				room -= take
			}
		}
	}
	for i := range out {
		out[i].sort()
	}
	return out
}
