package parquet

import (
	"encoding/binary"
	"errors"

	"runproof/flowlog"
)

// byteTable is a dictionary of nothing but whole numbers from 0 to 255, for
// codes of a width up to narrowWidth bits.
type byteTable struct {
	state tableState
	width uint
	// By pairs of neighbouring codes, up to pairWidth bits each, or else by
	// single codes: the bytes, and noCode where the dictionary has no such code.
	codes []uint32
}

type tableState int

const (
	unknown tableState = iota
	fits
	tooWide
)

const (
	narrowWidth = 8
	pairWidth   = 6
	noCode      = 1 << 31
)

var errCode = errors.New("a value is not in its dictionary")

// make readies the table for the dictionary and codes of that width, and says
// whether it is one.
func (t *byteTable) make(dictionary []float64, width uint) bool {
	if t.state != unknown && t.width == width {
		return t.state == fits
	}
	t.state, t.width = tooWide, width
	if width > narrowWidth || len(dictionary) == 0 {
		return false
	}
	var single [1 << narrowWidth]uint32
	for code := range single {
		single[code] = noCode
	}
	for code, v := range dictionary[:min(len(dictionary), 1<<width)] {
		if v != float64(uint8(v)) {
			return false
		}
		single[code] = uint32(uint8(v))
	}
	t.state, t.codes = fits, t.codes[:0]
	if width > pairWidth {
		t.codes = append(t.codes, single[:1<<width]...)
		return true
	}
	for _, second := range single[:1<<width] {
		for _, first := range single[:1<<width] {
			t.codes = append(t.codes, first|second<<8|second&noCode)
		}
	}
	return true
}

// fillNarrow reads the next rows into n for as long as their pages have a
// narrow dictionary; whole says that it was so to the end. It changes no state
// for rows that it does not read.
func (c *column[T]) fillNarrow(n *flowlog.Narrow) (good int, whole bool, err error) {
	for good < len(n.Counts) {
		for c.rows == 0 {
			if err := c.turn(); err != nil {
				return good, false, err
			}
		}
		if !c.narrow() {
			return good, false, nil
		}
		k := min(c.rows, len(n.Counts)-good)
		if err := c.narrowStretch(n, good, k); err != nil {
			return good, false, err
		}
		good, c.rows = good+k, c.rows-k
	}
	return good, true, nil
}

func (c *column[T]) narrow() bool {
	dictionary, ok := any(c.table).([]float64)
	return ok && c.plain == nil && c.bytes.make(dictionary, c.index.width)
}

// narrowStretch reads rows at..at+k, all of one page.
func (c *column[T]) narrowStretch(n *flowlog.Narrow, at, k int) (err error) {
	before := len(n.Absent)
	if c.optional {
		if n.Absent, err = c.level.absent(n.Absent, int32(at), k); err != nil {
			return err
		}
	}
	absent := n.Absent[before:]
	to := n.Counts[at : at+k]
	if err := c.narrowCodes(n.Counts[at : at+k-len(absent)]); err != nil {
		n.Absent = n.Absent[:before]
		return err
	}
	// Counts move to their rows from the end, so that none is overwritten.
	end := k
	for j := len(absent) - 1; j >= 0; j-- {
		row := int(absent[j]) - at
		copy(to[row+1:end], to[row-j:])
		to[row], end = 0, row
	}
	return nil
}

// narrowCodes reads the next len(dst) values that are there.
func (c *column[T]) narrowCodes(dst []uint8) error {
	for len(dst) > 0 {
		if err := c.index.need(); err != nil {
			return err
		}
		n := min(c.index.left, len(dst))
		var bad uint32
		switch {
		case !c.index.packed:
			bad = c.bytes.same(c.index.value, dst[:n])
			c.index.left -= n
		default:
			bad = c.bytes.unpack(&c.index, dst[:n])
		}
		if bad >= noCode {
			return errCode
		}
		dst = dst[n:]
	}
	return nil
}

// same fills dst with what one code means.
func (t *byteTable) same(code uint32, dst []uint8) uint32 {
	v := t.codes[code] // of a pair, the first; the second is code 0, which there always is
	for i := range dst {
		dst[i] = uint8(v)
	}
	return v
}

// unpack gives the next len(dst) values, which must lie in r's run. A value is
// noCode or more in the result when one of the codes is not in the dictionary.
func (t *byteTable) unpack(r *runs, dst []uint8) (bad uint32) {
	r.left -= len(dst)
	src, bit, w := r.src[:len(r.src)+padding], r.bit, r.width
	mask, codes := uint32(1)<<w-1, t.codes
	i := 0
	for ; i < len(dst) && bit&7 != 0; i++ { // to where eight codes begin at a byte
		v := codes[uint32(binary.LittleEndian.Uint64(src[bit>>3:])>>(bit&7))&mask]
		dst[i], bad = uint8(v), bad|v
		bit += int(w)
	}
	at := bit >> 3
	if w <= pairWidth {
		mask = 1<<(2*w) - 1
		codes := codes[:mask+1]
		for ; i+8 <= len(dst); i += 8 {
			x := binary.LittleEndian.Uint64(src[at:])
			a, b := codes[uint32(x)&mask], codes[uint32(x>>(2*w))&mask]
			c, d := codes[uint32(x>>(4*w))&mask], codes[uint32(x>>(6*w))&mask]
			bad |= a | b | c | d
			binary.LittleEndian.PutUint64(dst[i:], uint64(a&0xffff|b<<16)|uint64(c&0xffff|d<<16)<<32)
			at += int(w)
		}
		mask = 1<<w - 1
	}
	bit = at << 3
	for ; i < len(dst); i++ {
		v := codes[uint32(binary.LittleEndian.Uint64(src[bit>>3:])>>(bit&7))&mask]
		dst[i], bad = uint8(v), bad|v
		bit += int(w)
	}
	r.bit = bit
	return bad
}

// absent appends, of the next n rows, those without a value; the first has the
// number at.
func (r *runs) absent(to []int32, at int32, n int) ([]int32, error) {
	for n > 0 {
		if err := r.need(); err != nil {
			return to, err
		}
		k := min(r.left, n)
		switch {
		case r.packed:
			to = r.noughts(to, at, k)
		case r.value&1 == 0:
			for i := range int32(k) {
				to = append(to, at+i)
			}
		}
		r.left, n, at = r.left-k, n-k, at+int32(k)
	}
	return to, nil
}

// noughts appends which of the next n bits of a packed run are 0.
func (r *runs) noughts(to []int32, at int32, n int) []int32 {
	for i := 0; i < n; {
		if r.bit&7 == 0 && n-i >= 8 && r.src[r.bit>>3] == 0xff {
			i, r.bit = i+8, r.bit+8
			continue
		}
		if r.src[r.bit>>3]>>(r.bit&7)&1 == 0 {
			to = append(to, at+int32(i))
		}
		i, r.bit = i+1, r.bit+1
	}
	return to
}
