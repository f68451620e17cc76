package allocate

import (
	"cmp"
	"slices"
)

// window is a set of mounts at which so many nodes must be.
type window struct {
	mounts mask
	nodes  int
}

// windows lists conditions on the number of nodes: of the heads between two
// places across the drill, in one or several neighbouring bands fore and aft,
// with all others that cannot be served from elsewhere. They need at least
// runs/Cap nodes, rounded up, at the mounts in reach of them. This is Hall's
// condition with the right side rounded up; for heads in one line it says all
// there is to say about the number of nodes.
func (p *part) windows() []window {
	if len(p.At) == 0 {
		return nil
	}
	bands := p.bands()
	seen := make(map[string]bool)
	var out []window
	for lo := range bands {
		for hi := lo; hi < len(bands); hi++ {
			in := slices.Concat(bands[lo : hi+1]...)
			slices.SortStableFunc(in, func(a, b int) int { return cmp.Compare(p.At[a].Right, p.At[b].Right) })
			for i := range in {
				mounts := newMask(len(p.Demand))
				for _, g := range in[i:] {
					mounts.join(p.reach[g])
					if key := mounts.key(); !seen[key] {
						seen[key] = true
						out = append(out, p.window(slices.Clone(mounts)))
					}
				}
			}
		}
	}
	return out
}

// window counts how many nodes the heads need that only these mounts can
// serve.
func (p *part) window(mounts mask) window {
	runs := 0
	for g, d := range p.Demand {
		if d > 0 && p.reach[g].within(mounts) {
			runs += d
		}
	}
	return window{mounts, (runs + p.Cap - 1) / p.Cap}
}

// bandM is the gap fore and aft that parts two bands of heads.
const bandM = 0.3

// bands groups the heads with demand by their place fore and aft.
func (p *part) bands() [][]int {
	var heads []int
	for g, d := range p.Demand {
		if d > 0 {
			heads = append(heads, g)
		}
	}
	slices.SortStableFunc(heads, func(a, b int) int { return cmp.Compare(p.At[b].Forward, p.At[a].Forward) })
	var bands [][]int
	for i, g := range heads {
		if i == 0 || p.At[heads[i-1]].Forward-p.At[g].Forward > bandM {
			bands = append(bands, nil)
		}
		bands[len(bands)-1] = append(bands[len(bands)-1], g)
	}
	return bands
}
