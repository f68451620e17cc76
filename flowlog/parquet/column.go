package parquet

import (
	"errors"
	"io"
	"math"
	"slices"
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
	bytes byteTable
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
	c.rows, c.table, c.bytes.state = 0, c.table[:0], unknown
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
