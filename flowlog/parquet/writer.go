package parquet

import (
	"fmt"
	"io"
	"slices"

	"github.com/parquet-go/parquet-go"

	"runproof/flowlog"
	"runproof/input"
)

const (
	// groupValues is about how many values a row group holds: some megabytes
	// in memory, before packing.
	groupValues = 8 << 20
	// dictBytes is the largest dictionary of a column in a row group; beyond
	// it the column goes on without.
	dictBytes = 256 << 10
	// stretch is how many rows a column takes at a time; only between
	// stretches can a page end.
	stretch = 4096
)

// Writer writes a log as a Parquet file. It implements flowlog.Writer.
//
// Time is TIMESTAMP(NANOS, UTC) or, for decimal seconds, DOUBLE; every other
// column is an optional DOUBLE, because whoever streams a log cannot know what
// is still to come. The dictionary makes a column of small counts as small, and
// as fast to read, as integers would be.
type Writer struct {
	w     *parquet.GenericWriter[any]
	clock flowlog.Clock
	rows  int // in the row group at hand
	limit int // rows of a row group
	row   []parquet.Value
}

// NewWriter begins a file with the columns of s.
func NewWriter(w io.Writer, s flowlog.Schema) *Writer {
	return &Writer{
		w: parquet.NewGenericWriter[any](w, schemaOf(s), parquet.Compression(&parquet.Zstd),
			parquet.DictionaryMaxBytes(dictBytes), parquet.CreatedBy("runproof", "1", "parquet-go")),
		clock: s.Clock,
		limit: max(groupValues/(len(s.Columns)+1), 64),
	}
}

// Write adds the samples of b.
func (w *Writer) Write(b *flowlog.Batch) error {
	for from := 0; from < b.Len(); {
		to := min(from+w.limit-w.rows, from+stretch, b.Len())
		if err := w.write(b, from, to); err != nil {
			return err
		}
		w.rows += to - from
		from = to
		if w.rows == w.limit {
			w.rows = 0
			if err := w.w.Flush(); err != nil {
				return err
			}
		}
	}
	return nil
}

// Close writes the last row group and the footer.
func (w *Writer) Close() error { return w.w.Close() }

func (w *Writer) write(b *flowlog.Batch, from, to int) error {
	columns := w.w.ColumnWriters()
	if err := w.times(b.TimeNS[from:to]); err != nil {
		return err
	}
	if _, err := columns[0].WriteRowValues(w.row); err != nil {
		return err
	}
	for i, values := range b.Values {
		w.row = w.row[:0]
		for _, v := range values[from:to] {
			if flowlog.IsMissing(v) {
				w.row = append(w.row, parquet.NullValue().Level(0, 0, i+1))
			} else {
				w.row = append(w.row, parquet.DoubleValue(v+0).Level(0, 1, i+1))
			}
		}
		if _, err := columns[i+1].WriteRowValues(w.row); err != nil {
			return err
		}
	}
	return nil
}

// times puts times into row. Seconds that DOUBLE does not hold to the
// nanosecond are refused: the log would not read back as it was.
func (w *Writer) times(ns []int64) error {
	w.row = w.row[:0]
	for _, t := range ns {
		if w.clock == flowlog.UTC {
			w.row = append(w.row, parquet.Int64Value(t).Level(0, 0, 0))
			continue
		}
		s := float64(t) / 1e9
		if fromSeconds(s, 64) != t {
			return input.Fault{
				What:   fmt.Sprintf("time %s has more digits than Parquet keeps for seconds (DOUBLE)", w.clock.Format(t)),
				Remedy: "write the log as CSV",
			}
		}
		w.row = append(w.row, parquet.DoubleValue(s).Level(0, 0, 0))
	}
	return nil
}

// inOrder is a schema whose columns stay in the order of the log; a bare
// parquet.Group sorts them by name.
type inOrder struct {
	parquet.Group
	fields []parquet.Field
}

func (s inOrder) Fields() []parquet.Field { return s.fields }

func schemaOf(s flowlog.Schema) *parquet.Schema {
	group := parquet.Group{flowlog.TimeName: timeNode(s.Clock)}
	place := map[string]int{flowlog.TimeName: 0}
	for i, c := range s.Columns {
		group[c.Name] = valueNode(c.Kind)
		place[c.Name] = i + 1
	}
	fields := group.Fields()
	slices.SortFunc(fields, func(a, b parquet.Field) int { return place[a.Name()] - place[b.Name()] })
	return parquet.NewSchema("flowlog", inOrder{group, fields})
}

func timeNode(c flowlog.Clock) parquet.Node {
	if c == flowlog.UTC {
		return parquet.Encoded(parquet.Timestamp(parquet.Nanosecond), &parquet.DeltaBinaryPacked)
	}
	return parquet.Encoded(parquet.Leaf(parquet.DoubleType), &parquet.ByteStreamSplit)
}

// valueNode packs positions by bytes, since hardly two are alike, and all else
// by dictionary.
func valueNode(k flowlog.Kind) parquet.Node {
	n := parquet.Leaf(parquet.DoubleType)
	if k == flowlog.Lat || k == flowlog.Lon {
		return parquet.Optional(parquet.Encoded(n, &parquet.ByteStreamSplit))
	}
	return parquet.Optional(parquet.Encoded(n, &parquet.RLEDictionary))
}
