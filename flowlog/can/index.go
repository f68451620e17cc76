package can

// placeIndex finds the number that was put under a place. It is an open table,
// at most half full, because a recording asks it once a line.
type placeIndex struct {
	keys []place // one more than what was put; 0 is free
	vals []int32
	n    int
}

// hash spreads places over 2^bits slots (Fibonacci hashing: Knuth 1998, The Art
// of Computer Programming, vol. 3, 6.4).
func (x *placeIndex) slot(p place) int {
	return int(uint64(p)*0x9e3779b97f4a7c15>>32) & (len(x.keys) - 1)
}

func (x *placeIndex) find(p place) (at int, ok bool) {
	if x.n == 0 {
		return 0, false
	}
	for i := x.slot(p); x.keys[i] != 0; i = (i + 1) & (len(x.keys) - 1) {
		if x.keys[i] == p+1 {
			return int(x.vals[i]), true
		}
	}
	return 0, false
}

// put adds a place that is not there yet.
func (x *placeIndex) put(p place, at int) {
	if 2*x.n >= len(x.keys) {
		x.grow()
	}
	i := x.slot(p)
	for x.keys[i] != 0 {
		i = (i + 1) & (len(x.keys) - 1)
	}
	x.keys[i], x.vals[i] = p+1, int32(at)
	x.n++
}

func (x *placeIndex) grow() {
	old := *x
	size := max(64, 2*len(old.keys))
	*x = placeIndex{keys: make([]place, size), vals: make([]int32, size)}
	for i, k := range old.keys {
		if k != 0 {
			x.put(k-1, int(old.vals[i]))
		}
	}
}
