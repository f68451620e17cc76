package parquet

import (
	"encoding/binary"
	"errors"

	"github.com/parquet-go/parquet-go/encoding/thrift"
)

var (
	errCut  = errors.New("it ends in the middle")
	errDeep = errors.New("it is nested too deep")
	errThin = errors.New("it claims more entries than it has bytes for")
	errType = errors.New("it holds a value of an unknown type")
)

// decode reads one structure in Thrift's compact protocol into v and returns how
// many bytes it took. It walks the bytes first, so that a crafted length or
// nesting cannot make the decoder ask for memory or stack without end.
func decode(b []byte, v any) (n int, err error) {
	if n, err = measure(b, structType, 0); err != nil {
		return 0, err
	}
	p := new(thrift.CompactProtocol)
	return n, thrift.NewDecoder(p.NewReaderFromBytes(b[:n])).Decode(v)
}

// The types of the compact protocol
// (https://github.com/apache/thrift/blob/master/doc/specs/thrift-compact-protocol.md).
const (
	boolTrue   = 1
	boolFalse  = 2
	byteType   = 3
	i16Type    = 4
	i32Type    = 5
	i64Type    = 6
	doubleType = 7
	binaryType = 8
	listType   = 9
	setType    = 10
	structType = 12
)

const (
	maxDepth = 32
	// minStruct is the least that structures in a long list take on average, in
	// bytes. The smallest in Parquet, a column's sort order, takes 3.
	minStruct = 3
)

// measure returns how many bytes at the start of b a value of type t takes. Maps
// do not occur in Parquet.
func measure(b []byte, t byte, depth int) (int, error) {
	if depth > maxDepth {
		return 0, errDeep
	}
	switch t {
	case boolTrue, boolFalse:
		return 0, nil // in the field's own head
	case byteType:
		return within(b, 1)
	case i16Type, i32Type, i64Type:
		_, n := binary.Uvarint(b)
		return within(b, uint64(max(n, 0)), n <= 0)
	case doubleType:
		return within(b, 8)
	case binaryType:
		size, n := binary.Uvarint(b)
		return within(b, uint64(max(n, 0))+size, n <= 0, size > uint64(len(b)))
	case listType, setType:
		return measureList(b, depth)
	case structType:
		return measureStruct(b, depth)
	}
	return 0, errType
}

// within is n when b has that many bytes and nothing is wrong.
func within(b []byte, n uint64, wrong ...bool) (int, error) {
	for _, w := range wrong {
		if w {
			return 0, errCut
		}
	}
	if n > uint64(len(b)) {
		return 0, errCut
	}
	return int(n), nil
}

func measureStruct(b []byte, depth int) (int, error) {
	for at := 0; at < len(b); {
		head := b[at]
		at++
		if head == 0 {
			return at, nil
		}
		if head>>4 == 0 { // the field's number in full
			_, n := binary.Uvarint(b[at:])
			if n <= 0 {
				return 0, errCut
			}
			at += n
		}
		n, err := measure(b[at:], head&15, depth+1)
		if err != nil {
			return 0, err
		}
		at += n
	}
	return 0, errCut
}

func measureList(b []byte, depth int) (int, error) {
	if len(b) == 0 {
		return 0, errCut
	}
	items, t, at := uint64(b[0]>>4), b[0]&15, 1
	if items == 15 {
		var n int
		if items, n = binary.Uvarint(b[1:]); n <= 0 {
			return 0, errCut
		}
		at += n
	}
	if items > uint64(len(b)) {
		return 0, errThin
	}
	if t == boolTrue || t == boolFalse {
		t = byteType
	}
	first := at
	for range items {
		n, err := measure(b[at:], t, depth+1)
		if err != nil {
			return 0, err
		}
		at += n
	}
	if t == structType && items > 64 && at-first < minStruct*int(items) {
		return 0, errThin
	}
	return at, nil
}
