package parquet_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/apache/arrow-go/v18/arrow"
	"github.com/apache/arrow-go/v18/arrow/array"
	"github.com/apache/arrow-go/v18/arrow/float16"
	"github.com/apache/arrow-go/v18/arrow/memory"
	pq "github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/compress"
	"github.com/apache/arrow-go/v18/parquet/file"
	"github.com/apache/arrow-go/v18/parquet/pqarrow"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
)

// The independent program in these tests is Apache Arrow's own Parquet
// implementation for Go, github.com/apache/arrow-go/v18 v18.8.0.

// counts are n values, a null about every ninth, mostly small.
func counts(rng *rand.Rand, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		switch rng.IntN(9) {
		case 0:
			v[i] = math.NaN()
		case 1:
			v[i] = float64(rng.IntN(60000))
		default:
			v[i] = float64(rng.IntN(30))
		}
	}
	return v
}

// writeArrow has Arrow write a log with the columns time and 1:1, 1:2, ...
func writeArrow(t *testing.T, time arrow.Array, columns []arrow.Array, group int64, opts ...pq.WriterProperty) []byte {
	t.Helper()
	fields := []arrow.Field{{Name: "time", Type: time.DataType()}}
	arrays := []arrow.Array{time}
	for i, c := range columns {
		fields = append(fields, arrow.Field{Name: fmt.Sprintf("1:%d", i+1), Type: c.DataType(), Nullable: c.NullN() > 0})
		arrays = append(arrays, c)
	}
	schema := arrow.NewSchema(fields, nil)
	rec := array.NewRecordBatch(schema, arrays, int64(time.Len()))
	table := array.NewTableFromRecords(schema, []arrow.RecordBatch{rec})
	var buf bytes.Buffer
	opts = append(opts, pq.WithMaxRowGroupLength(group))
	if err := pqarrow.WriteTable(table, &buf, group, pq.NewWriterProperties(opts...), pqarrow.DefaultWriterProps()); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func build(dt arrow.DataType, values []float64) arrow.Array {
	b := array.NewBuilder(memory.DefaultAllocator, dt)
	for _, v := range values {
		if v != v {
			b.AppendNull()
			continue
		}
		switch b := b.(type) {
		case *array.BooleanBuilder:
			b.Append(v != 0)
		case *array.Int8Builder:
			b.Append(int8(v))
		case *array.Uint8Builder:
			b.Append(uint8(v))
		case *array.Int16Builder:
			b.Append(int16(v))
		case *array.Uint16Builder:
			b.Append(uint16(v))
		case *array.Int32Builder:
			b.Append(int32(v))
		case *array.Uint32Builder:
			b.Append(uint32(v))
		case *array.Int64Builder:
			b.Append(int64(v))
		case *array.Uint64Builder:
			b.Append(uint64(v))
		case *array.Float16Builder:
			b.Append(float16.New(float32(v)))
		case *array.Float32Builder:
			b.Append(float32(v))
		case *array.Float64Builder:
			b.Append(v)
		case *array.TimestampBuilder:
			b.Append(arrow.Timestamp(int64(v)))
		default:
			panic(dt)
		}
	}
	return b.NewArray()
}

// millis are n times of an even 200 ms from start, in units of 1/perSecond s.
func millis(n int, start, perSecond float64) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = (start + float64(i)/5) * perSecond
	}
	return v
}

func readAll(t *testing.T, b []byte) *flowlog.Log {
	t.Helper()
	r, err := parquet.NewReader(bytes.NewReader(b), int64(len(b)), "log.parquet", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func same(a, b float64) bool { return a == b || a != a && b != b }

func wantValues(t *testing.T, name string, got, want []float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d values, want %d", name, len(got), len(want))
	}
	for i := range want {
		if !same(got[i], want[i]) {
			t.Fatalf("%s: sample %d is %v, want %v", name, i, got[i], want[i])
		}
	}
}

const sparse = 1 << 40 // row group longer than the log: one group

func TestReadsWhatArrowWrites(t *testing.T) {
	const n = 20000
	rng := rand.New(rand.NewPCG(2, 4))
	time := build(&arrow.TimestampType{Unit: arrow.Microsecond, TimeZone: "UTC"}, millis(n, 1778577330, 1e6))
	types := []arrow.DataType{
		arrow.PrimitiveTypes.Int32, arrow.PrimitiveTypes.Int64, arrow.PrimitiveTypes.Uint16, arrow.PrimitiveTypes.Int16,
		arrow.PrimitiveTypes.Uint32, arrow.PrimitiveTypes.Uint64, arrow.PrimitiveTypes.Float32, arrow.PrimitiveTypes.Float64,
	}
	var columns []arrow.Array
	var want [][]float64
	add := func(dt arrow.DataType, v []float64) {
		columns, want = append(columns, build(dt, v)), append(want, v)
	}
	for _, dt := range types {
		v := counts(rng, n)
		if dt == arrow.PrimitiveTypes.Int16 {
			for i := range v {
				v[i] /= 2
				v[i] = math.Floor(v[i])
			}
		}
		add(dt, v)
	}
	small := make([]float64, n) // no nulls, a required column
	all := make([]float64, n)   // all nulls
	bits := make([]float64, n)
	for i := range small {
		small[i], all[i], bits[i] = float64(i%128), math.NaN(), float64(rng.IntN(2))
		if i%7 == 0 {
			bits[i] = math.NaN()
		}
	}
	add(arrow.PrimitiveTypes.Uint8, small)
	add(arrow.PrimitiveTypes.Int8, small)
	add(arrow.PrimitiveTypes.Int32, all)
	add(arrow.FixedWidthTypes.Boolean, bits)
	add(arrow.FixedWidthTypes.Float16, small)

	for _, c := range []struct {
		name  string
		group int64
		opts  []pq.WriterProperty
	}{
		{"dictionary, snappy", sparse, []pq.WriterProperty{pq.WithDictionaryDefault(true), pq.WithCompression(compress.Codecs.Snappy)}},
		{"plain, unpacked, many groups", 777, []pq.WriterProperty{pq.WithDictionaryDefault(false)}},
		{"dictionary, zstd, small pages, groups", 5000, []pq.WriterProperty{pq.WithDictionaryDefault(true), pq.WithCompression(compress.Codecs.Zstd), pq.WithDataPageSize(1000), pq.WithBatchSize(100)}},
		{"dictionary outgrown", sparse, []pq.WriterProperty{pq.WithDictionaryDefault(true), pq.WithDictionaryPageSizeLimit(2000), pq.WithDataPageSize(1000), pq.WithBatchSize(100)}},
		{"pages v2, gzip", sparse, []pq.WriterProperty{pq.WithDictionaryDefault(true), pq.WithDataPageVersion(pq.DataPageV2), pq.WithCompression(compress.Codecs.Gzip)}},
		{"pages v2, plain, brotli", 3000, []pq.WriterProperty{pq.WithDictionaryDefault(false), pq.WithDataPageVersion(pq.DataPageV2), pq.WithCompression(compress.Codecs.Brotli)}},
		{"lz4", sparse, []pq.WriterProperty{pq.WithCompression(compress.Codecs.Lz4Raw)}},
		{"version 1, converted types", sparse, []pq.WriterProperty{pq.WithVersion(pq.V1_0), pq.WithCompression(compress.Codecs.Snappy)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			cols := columns
			got := readAll(t, writeArrow(t, time, cols, c.group, c.opts...))
			if got.Clock != flowlog.UTC || got.TimeNS[1] != 1778577330_200000000 || got.TimeNS[n-1] != 1778577330_000000000+(n-1)*200000000 {
				t.Errorf("clock %v, times %d ... %d", got.Clock, got.TimeNS[1], got.TimeNS[n-1])
			}
			for i := range want {
				wantValues(t, fmt.Sprintf("column %d, %s", i+1, cols[i].DataType()), got.Values[i], want[i])
			}
		})
	}
}

func TestReadsArrowsOtherEncodings(t *testing.T) {
	const n = 5000
	rng := rand.New(rand.NewPCG(3, 4))
	time := build(arrow.PrimitiveTypes.Int64, millis(n, 0, 5)) // whole seconds
	v := counts(rng, n)
	for _, c := range []struct {
		dt  arrow.DataType
		enc pq.Encoding
	}{
		{arrow.PrimitiveTypes.Int32, pq.Encodings.DeltaBinaryPacked},
		{arrow.PrimitiveTypes.Int64, pq.Encodings.DeltaBinaryPacked},
		{arrow.PrimitiveTypes.Int32, pq.Encodings.ByteStreamSplit},
		{arrow.PrimitiveTypes.Float32, pq.Encodings.ByteStreamSplit},
		{arrow.PrimitiveTypes.Float64, pq.Encodings.ByteStreamSplit},
	} {
		b := writeArrow(t, time, []arrow.Array{build(c.dt, v)}, 1200, pq.WithDictionaryDefault(false), pq.WithEncodingFor("1:1", c.enc), pq.WithEncodingFor("time", pq.Encodings.DeltaBinaryPacked))
		got := readAll(t, b)
		wantValues(t, fmt.Sprintf("%s in %s", c.dt, c.enc), got.Values[0], v)
		if got.Clock != flowlog.Seconds || got.TimeNS[n-1] != (n-1)*1e9 {
			t.Errorf("clock %v, last time %d", got.Clock, got.TimeNS[n-1])
		}
	}
}

func TestReadsEveryFormOfTime(t *testing.T) {
	const n = 40
	for _, c := range []struct {
		dt        arrow.DataType
		perSecond float64
		clock     flowlog.Clock
	}{
		{&arrow.TimestampType{Unit: arrow.Millisecond, TimeZone: "UTC"}, 1e3, flowlog.UTC},
		{&arrow.TimestampType{Unit: arrow.Microsecond}, 1e6, flowlog.UTC},
		{&arrow.TimestampType{Unit: arrow.Nanosecond, TimeZone: "UTC"}, 1e9, flowlog.UTC},
		{arrow.PrimitiveTypes.Float64, 1, flowlog.Seconds},
	} {
		start := 86400.0
		b := writeArrow(t, build(c.dt, millis(n, start, c.perSecond)), nil, sparse)
		got := readAll(t, b)
		if got.Clock != c.clock {
			t.Errorf("%s: clock %v", c.dt, got.Clock)
		}
		for i, ns := range got.TimeNS {
			if want := int64(start)*1e9 + int64(i)*2e8; ns != want {
				t.Fatalf("%s: time %d is %d, want %d", c.dt, i, ns, want)
			}
		}
	}
	// Whole seconds as a timestamp become milliseconds in the file.
	whole := build(&arrow.TimestampType{Unit: arrow.Second, TimeZone: "UTC"}, []float64{10, 11, 13})
	if got := readAll(t, writeArrow(t, whole, nil, sparse)); got.Clock != flowlog.UTC || got.TimeNS[2] != 13e9 {
		t.Errorf("seconds: %v", got.TimeNS)
	}
}

func TestArrowReadsWhatWeWrite(t *testing.T) {
	for _, clock := range []flowlog.Clock{flowlog.UTC, flowlog.Seconds} {
		l := sample(clock, 30000)
		b := write(t, l)
		r, err := file.NewParquetReader(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		fr, err := pqarrow.NewFileReader(r, pqarrow.ArrowReadProperties{}, memory.DefaultAllocator)
		if err != nil {
			t.Fatal(err)
		}
		table, err := fr.ReadTable(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if got, want := table.NumRows(), int64(l.Len()); got != want {
			t.Fatalf("%d rows, want %d", got, want)
		}
		for i, c := range l.Columns {
			if got := table.Schema().Field(i + 1).Name; got != c.Name {
				t.Errorf("column %d is %s, want %s", i+1, got, c.Name)
			}
			wantValues(t, c.Name, floatsOf(table.Column(i+1)), l.Values[i])
		}
		checkTimes(t, table.Column(0), l)
	}
}

func floatsOf(c *arrow.Column) []float64 {
	var v []float64
	for _, chunk := range c.Data().Chunks() {
		a := chunk.(*array.Float64)
		for i := range a.Len() {
			if a.IsNull(i) {
				v = append(v, math.NaN())
			} else {
				v = append(v, a.Value(i))
			}
		}
	}
	return v
}

func checkTimes(t *testing.T, c *arrow.Column, l *flowlog.Log) {
	t.Helper()
	i := 0
	for _, chunk := range c.Data().Chunks() {
		for k := range chunk.Len() {
			ok := false
			switch a := chunk.(type) {
			case *array.Timestamp:
				ty := a.DataType().(*arrow.TimestampType)
				ok = l.Clock == flowlog.UTC && ty.Unit == arrow.Nanosecond && ty.TimeZone == "UTC" && int64(a.Value(k)) == l.TimeNS[i]
			case *array.Float64:
				ok = l.Clock == flowlog.Seconds && a.Value(k) == float64(l.TimeNS[i])/1e9
			}
			if !ok {
				t.Fatalf("time %d: %v, want %d", i, chunk.ValueStr(k), l.TimeNS[i])
			}
			i++
		}
	}
}
