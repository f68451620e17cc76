package allocate

import "math/bits"

// mask is a set of heads.
type mask []uint64

func newMask(n int) mask { return make(mask, (n+63)/64) }

func (m mask) add(i int)      { m[i/64] |= 1 << (i % 64) }
func (m mask) has(i int) bool { return m[i/64]>>(i%64)&1 == 1 }

// join adds all of o.
func (m mask) join(o mask) {
	for k, w := range o {
		m[k] |= w
	}
}

// within tells whether all of m is in o.
func (m mask) within(o mask) bool {
	for k, w := range m {
		if w&^o[k] != 0 {
			return false
		}
	}
	return true
}

// all are the members, ascending.
func (m mask) all(yield func(int) bool) {
	for k, w := range m {
		for w != 0 {
			if !yield(64*k + bits.TrailingZeros64(w)) {
				return
			}
			w &= w - 1
		}
	}
}

// key tells sets apart.
func (m mask) key() string {
	b := make([]byte, 0, 8*len(m))
	for _, w := range m {
		for s := 0; s < 64; s += 8 {
			b = append(b, byte(w>>s))
		}
	}
	return string(b)
}
