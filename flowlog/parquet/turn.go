package parquet

import (
	"encoding/binary"
	"fmt"

	"github.com/parquet-go/parquet-go/encoding/bytestreamsplit"
	"github.com/parquet-go/parquet-go/encoding/delta"
	"github.com/parquet-go/parquet-go/format"
)

// plainDictionary is what old writers call RLE_DICTIONARY (parquet.thrift,
// Encoding).
const plainDictionary format.Encoding = 2

// turn goes to the next page.
func (c *column[T]) turn() error {
	p, err := c.pages.next()
	if err != nil {
		return err
	}
	if p.dictionary {
		return c.dictionary(p)
	}
	c.rows = p.rows
	c.level, c.index, c.plain = newRuns(p.levels, 1), runs{}, nil
	switch p.encoding {
	case plainDictionary, format.RLEDictionary:
		return c.indexed(p.values)
	case format.Plain:
		c.plain = p.values
		if c.of == booleans {
			c.plain, err = c.bits(p.values)
		}
	case format.RLE:
		return c.runsOfBooleans(p)
	case format.DeltaBinaryPacked:
		c.plain, err = c.delta(p)
	case format.ByteStreamSplit:
		c.plain, err = c.split(p.values)
	default:
		err = fmt.Errorf("they are in the encoding %s, which %s cannot have", p.encoding, c.el.Type.V)
	}
	return err
}

// dictionary reads the values that later pages point to.
func (c *column[T]) dictionary(p page) error {
	w := width[c.of]
	if p.rows < 0 || p.rows > len(p.values)/w || c.of == booleans {
		return errPage
	}
	if cap(c.table) < p.rows {
		c.table = make([]T, p.rows)
	}
	c.table, c.bytes.state = c.table[:p.rows], unknown
	c.convert(c.table, p.values)
	return nil
}

func (c *column[T]) indexed(values []byte) error {
	if len(values) == 0 { // nothing but nulls
		c.index = newRuns(nil, 0)
		return nil
	}
	if values[0] > 32 {
		return errPage
	}
	c.index = newRuns(values[1:], uint(values[0]))
	return nil
}

// bits widens booleans, eight to a byte, to a byte each.
func (c *column[T]) bits(packed []byte) ([]byte, error) {
	if len(packed) > maxPage/8 {
		return nil, errLarge
	}
	c.wide = c.wide[:0]
	for _, v := range packed {
		for i := range 8 {
			c.wide = append(c.wide, v>>i&1)
		}
	}
	return c.wide, nil
}

// runsOfBooleans turns runs into a dictionary's: false is 0, true is 1.
func (c *column[T]) runsOfBooleans(p page) error {
	if c.of != booleans {
		return errPage
	}
	part, _, err := prefixed(p.values)
	if err != nil {
		return err
	}
	c.table, c.bytes.state = append(c.table[:0], 0, 1), unknown
	c.index = newRuns(part, 1)
	return nil
}

// delta unpacks DELTA_BINARY_PACKED into plain values.
func (c *column[T]) delta(p page) ([]byte, error) {
	if n, err := deltaCount(p.values); err != nil || n > uint64(p.rows) || n > maxPage/8 {
		return nil, errPage
	}
	c.wide = c.wide[:0]
	var err error
	switch c.of {
	case int32s, uint32s:
		c.ints, err = new(delta.BinaryPackedEncoding).DecodeInt32(c.ints, p.values)
		for _, x := range c.ints {
			c.wide = binary.LittleEndian.AppendUint32(c.wide, uint32(x))
		}
	case int64s, uint64s:
		c.longs, err = new(delta.BinaryPackedEncoding).DecodeInt64(c.longs, p.values)
		for _, x := range c.longs {
			c.wide = binary.LittleEndian.AppendUint64(c.wide, uint64(x))
		}
	default:
		err = errPage
	}
	return c.wide, err
}

// deltaCount is how many values the head claims: block size, mini blocks in a
// block, count, each a varint.
func deltaCount(b []byte) (count uint64, err error) {
	for range 3 {
		v, n := binary.Uvarint(b)
		if n <= 0 {
			return 0, errPage
		}
		count, b = v, b[n:]
	}
	return count, nil
}

// split unpacks BYTE_STREAM_SPLIT into plain values.
func (c *column[T]) split(values []byte) (_ []byte, err error) {
	if c.of == booleans {
		return nil, errPage
	}
	c.wide, err = new(bytestreamsplit.Encoding).DecodeFixedLenByteArray(c.wide, values, width[c.of])
	return c.wide, err
}
