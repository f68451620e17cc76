package parquet

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/parquet-go/parquet-go/encoding/bytestreamsplit"
	"github.com/parquet-go/parquet-go/encoding/delta"
	"github.com/parquet-go/parquet-go/format"
)

// column gives the values of one column, row after row, through pages and row
// groups: float64 for what was measured, int64 nanoseconds for time.
type column[T float64 | int64] struct {
	leaf
	of      kind
	pages   pages
	convert convert[T]
	missing T
	check   func([]T) int // index of the first value that must not be, or -1
	needed  bool          // every row must have a value

	table []T // the dictionary, with what it means
	rows  int // left in the page at hand
	level runs
	index runs   // places in table, or
	plain []byte // values
	codes []uint32
	has   []uint32

	wide  []byte // memory for plain, when the page holds them otherwise
	ints  []int32
	longs []int64
}

// badValue is the error of a value that must not be. Its row is the one behind
// those that fill counts as good.
type badValue float64

func (badValue) Error() string { return "a value is out of range" }

// errNull says that a row has no value and needs one.
var errNull = errors.New("it is empty")

// open goes to the column's pages in a row group.
func (c *column[T]) open(src io.ReaderAt, size int64, g *rowGroup) error {
	chunk := &g.Columns[c.chunk]
	c.rows, c.table = 0, c.table[:0]
	if chunk.Meta.Type != c.el.Type.V {
		return errSchema
	}
	return c.pages.open(src, size, chunk)
}

// fill reads the next len(dst) rows and returns how many are good before it
// failed.
func (c *column[T]) fill(dst []T) (n int, err error) {
	for n < len(dst) {
		for c.rows == 0 {
			if err := c.turn(); err != nil {
				return n, err
			}
		}
		part := dst[n:min(n+c.rows, len(dst))]
		good, err := c.stretch(part)
		n += good
		if err != nil {
			return n, err
		}
		c.rows -= len(part)
	}
	return n, nil
}

// stretch reads rows of one page.
func (c *column[T]) stretch(dst []T) (good int, err error) {
	k := len(dst)
	if c.optional {
		c.has = atLeast(c.has, len(dst))
		if k, err = c.level.levels(len(dst), c.has); err != nil {
			return 0, err
		}
	}
	if err := c.values(dst[:k]); err != nil {
		return 0, err
	}
	if c.needed && k < len(dst) {
		return c.firstNull(k), errNull
	}
	if bad := c.check(dst[:k]); bad >= 0 {
		value, row := dst[bad], c.rowOf(bad, k, len(dst))
		c.spread(dst[:row], bad)
		return row, badValue(value)
	}
	c.spread(dst, k)
	return len(dst), nil
}

// rowOf is the row of value i of the k that n rows have.
func (c *column[T]) rowOf(i, k, n int) int {
	if k == n {
		return i
	}
	for row, h := range c.has[:n] {
		if h == 1 {
			if i == 0 {
				return row
			}
			i--
		}
	}
	return 0
}

// firstNull is the first row without a value; k rows have one.
func (c *column[T]) firstNull(k int) int {
	if k == 0 {
		return 0
	}
	return slices.Index(c.has, 0)
}

// spread moves the first k values to the rows that have one, from the end so
// that none is overwritten before it is moved.
func (c *column[T]) spread(dst []T, k int) {
	if k == 0 {
		for i := range dst {
			dst[i] = c.missing
		}
		return
	}
	for i := len(dst) - 1; i >= k; i-- {
		if c.has[i] == 1 {
			k--
			dst[i] = dst[k]
		} else {
			dst[i] = c.missing
		}
	}
}

// values reads the next len(dst) values that are there.
func (c *column[T]) values(dst []T) error {
	if c.plain != nil {
		w := width[c.of]
		if len(c.plain) < len(dst)*w {
			return errPage
		}
		c.convert(dst, c.plain)
		c.plain = c.plain[len(dst)*w:]
		return nil
	}
	for len(dst) > 0 {
		if err := c.index.need(); err != nil {
			return err
		}
		n := min(c.index.left, len(dst))
		c.codes = atLeast(c.codes, n)
		codes := c.codes[:n]
		c.index.unpack(codes)
		table := c.table
		for i, code := range codes {
			if int(code) >= len(table) {
				return errors.New("a value is not in its dictionary")
			}
			dst[i] = table[code]
		}
		dst = dst[n:]
	}
	return nil
}

func atLeast(b []uint32, n int) []uint32 {
	if cap(b) < n {
		return make([]uint32, n)
	}
	return b[:cap(b)]
}

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
	case format.PlainDictionary, format.RLEDictionary:
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
	c.table = c.table[:p.rows]
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
	c.table = c.table[:0]
	c.table = append(c.table, 0, 1)
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

// newColumn reads counts or other measurements, with NaN where there is none.
func newColumn(l leaf, check func([]float64) int, sh *shop) *column[float64] {
	return &column[float64]{
		leaf: l, of: l.kind(), convert: toFloats(l.kind(), l.scale()), missing: math.NaN(), check: check,
		pages: pages{shop: sh, optional: l.optional},
	}
}

// newTimeColumn reads times, each of which must be there.

func newTimeColumn(l leaf, t timeForm, sh *shop) *column[int64] {
	return &column[int64]{
		leaf: l, of: l.kind(), convert: toTimes(l.kind(), t), needed: true, check: firstNoTime,
		pages: pages{shop: sh, optional: l.optional},
	}
}
