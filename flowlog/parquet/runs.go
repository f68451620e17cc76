package parquet

import (
	"encoding/binary"
	"errors"
)

// runs reads Parquet's hybrid of run lengths and bit-packed groups
// (https://github.com/apache/parquet-format/blob/master/Encodings.md, RLE), a
// stretch at a time, so that a page stays as small in memory as it is in the
// file. Behind src must lie spare bytes that may be read: see padding.
type runs struct {
	src    []byte
	at     int  // in src, the next run's head
	width  uint // bits a value, 0 to 32
	left   int  // values left in this run
	packed bool
	value  uint32 // of a run of one value
	bit    int    // of a packed run, the next value's first bit in src
}

// padding is how many bytes behind a page's data may be read without meaning.
const padding = 8

var errRuns = errors.New("its runs end too early")

func newRuns(src []byte, width uint) runs { return runs{src: src, width: width} }

// need starts the next run when this one is used up.
func (r *runs) need() error {
	for r.left == 0 {
		head, n := binary.Uvarint(r.src[r.at:])
		if n <= 0 || head>>1 > 1<<31 {
			return errRuns
		}
		r.at += n
		if r.packed = head&1 == 1; r.packed {
			r.packedRun(int(head >> 1))
		} else if err := r.sameRun(int(head >> 1)); err != nil {
			return err
		}
	}
	return nil
}

// packedRun begins groups of eight values. Some writers leave off the bytes of
// the last group that hold no values.
func (r *runs) packedRun(groups int) {
	r.left = groups * 8
	r.bit = r.at * 8
	size := groups * int(r.width)
	if have := len(r.src) - r.at; size > have {
		size = have
		r.left = have * 8 / int(r.width)
	}
	r.at += size
}

func (r *runs) sameRun(n int) error {
	bytes := int(r.width+7) / 8
	if bytes > len(r.src)-r.at {
		return errRuns
	}
	r.value = 0
	for i := range bytes {
		r.value |= uint32(r.src[r.at+i]) << (8 * i)
	}
	r.value &= 1<<r.width - 1 // damaged data may have more bits
	r.at += bytes
	r.left = n
	return nil
}

// unpack gives the next len(dst) values, which must lie in this run.
func (r *runs) unpack(dst []uint32) {
	if !r.packed {
		for i := range dst {
			dst[i] = r.value
		}
	} else {
		mask := uint64(1)<<r.width - 1
		src, bit, width := r.src[:len(r.src)+padding], r.bit, int(r.width)
		for i := range dst {
			dst[i] = uint32(binary.LittleEndian.Uint64(src[bit>>3:]) >> (bit & 7) & mask)
			bit += width
		}
		r.bit = bit
	}
	r.left -= len(dst)
}

// levels tells which of the next n rows have a value: k of them do. Unless all
// or none do, has holds 1 or 0 for each row.
func (r *runs) levels(n int, has []uint32) (k int, err error) {
	if err := r.need(); err != nil {
		return 0, err
	}
	if !r.packed && r.left >= n {
		r.left -= n
		return n * int(r.value&1), nil
	}
	for at := 0; at < n; {
		if err := r.need(); err != nil {
			return 0, err
		}
		part := has[at:min(at+r.left, n)]
		r.unpack(part)
		for _, v := range part {
			k += int(v & 1)
		}
		at += len(part)
	}
	return k, nil
}
