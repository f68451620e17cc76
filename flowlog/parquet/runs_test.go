package parquet

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/parquet-go/parquet-go/encoding/rle"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"

	"runproof/flowlog"
)

// padded is b with the spare bytes that runs may read.
func padded(b []byte) []byte { return append(slices.Clone(b), make([]byte, padding)...)[:len(b)] }

// all reads n values in stretches of at most step.
func all(r runs, n, step int) ([]uint32, error) {
	var got []uint32
	for len(got) < n {
		if err := r.need(); err != nil {
			return got, err
		}
		part := make([]uint32, min(r.left, step, n-len(got)))
		r.unpack(part)
		got = append(got, part...)
	}
	return got, nil
}

// The encoder is parquet-go's; our decoder is our own.
func TestRunsAgainstTheLibrarysEncoder(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for width := 1; width <= 31; width++ {
		var want []int32
		for len(want) < 3000 {
			v := int32(rng.Uint64N(1 << width))
			for range 1 + rng.IntN(2)*rng.IntN(40) { // single values and runs
				want = append(want, v)
			}
		}
		enc := rle.Encoding{BitWidth: width}
		b, err := enc.EncodeInt32(nil, want)
		if err != nil {
			t.Fatal(err)
		}
		got, err := all(newRuns(padded(b), uint(width)), len(want), 17)
		if err != nil {
			t.Fatalf("width %d: %v", width, err)
		}
		for i := range want {
			if got[i] != uint32(want[i]) {
				t.Fatalf("width %d: value %d is %d, want %d", width, i, got[i], want[i])
			}
		}
	}
}

// The worked example of Parquet's Encodings.md: 0 to 7 in three bits each are
// the bytes 10001000 11000110 11111010, behind the head of one group of eight.
func TestRunsOfTheSpecification(t *testing.T) {
	got, err := all(newRuns(padded([]byte{1<<1 | 1, 0b10001000, 0b11000110, 0b11111010}), 3), 8, 100)
	if err != nil || !slices.Equal(got, []uint32{0, 1, 2, 3, 4, 5, 6, 7}) {
		t.Errorf("%v %v", got, err)
	}
}

func TestRunsRefuseWhatIsCut(t *testing.T) {
	for _, b := range [][]byte{{}, {0x80}, {4 << 1}, {1<<1 | 1}, {0, 0, 0}, {0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 1, 1}} {
		if got, err := all(newRuns(padded(b), 7), 10, 10); err == nil {
			t.Errorf("% x gave %v", b, got)
		}
	}
}

func TestLevels(t *testing.T) {
	want := []uint32{1, 0, 1, 1, 0, 0, 0, 1, 1, 1}
	r := newRuns(padded([]byte{2<<1 | 1, 0b10001101, 0b00000011, 5 << 1, 1, 6 << 1, 0}), 1)
	has := make([]uint32, 10)
	if k, err := r.levels(10, has); err != nil || k != 6 || !slices.Equal(has, want) {
		t.Errorf("%d of %v, %v", k, has, err)
	}
	if k, err := r.levels(6, has); err != nil || k != 0 { // the rest of the group: padding that means nothing
		t.Errorf("%d, %v", k, err)
	}
	if k, err := r.levels(5, has); err != nil || k != 5 {
		t.Errorf("a run of ones: %d, %v", k, err)
	}
	if k, err := r.levels(6, has); err != nil || k != 0 {
		t.Errorf("a run of zeros: %d, %v", k, err)
	}
	if _, err := r.levels(1, has); err == nil {
		t.Error("levels behind the end")
	}
}

// binary16 values of IEEE 754-2019 (also Wikipedia, "Half-precision
// floating-point format", examples).
func TestHalf(t *testing.T) {
	for b, want := range map[uint16]float64{
		0x0000: 0, 0x0001: 0.000000059604644775390625, 0x03ff: 0.000060975551605224609375, 0x0400: 0.00006103515625,
		0x3555: 0.333251953125, 0x3bff: 0.99951171875, 0x3c00: 1, 0x3c01: 1.0009765625, 0x7bff: 65504, 0x7c00: math.Inf(1), 0xc000: -2, 0xfc00: math.Inf(-1),
	} {
		if got := half(b); got != want {
			t.Errorf("%#04x is %v, want %v", b, got, want)
		}
	}
	if got := half(0x7e00); got == got {
		t.Errorf("0x7e00 is %v, want NaN", got)
	}
}

func TestFromSeconds(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want int64
	}{
		{0, 0},
		{0.2, 200000000},
		{-1.5, -1500000000},
		{2249999.999999999, 2249999_999999999},
		{1778577330.003, 1778577330_003000000},
		{1778577330.000001, 1778577330_000001000},
		{math.NaN(), noTime},
		{math.Inf(1), noTime},
		{1e10, noTime},
		{-1e300, noTime},
	} {
		if got := fromSeconds(c.v, 64); got != c.want {
			t.Errorf("%v s is %d ns, want %d", c.v, got, c.want)
		}
	}
}

// Every nanosecond below exactSeconds comes back from its seconds.
func TestSecondsAreExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for range 200000 {
		ns := rng.Int64N(exactSeconds * 1e9)
		if got := fromSeconds(float64(ns)/1e9, 64); got != ns {
			t.Fatalf("%d ns came back as %d", ns, got)
		}
	}
}

// compact is v in Thrift's compact protocol.
func compact(t testing.TB, v any) []byte {
	t.Helper()
	b, err := thrift.Marshal(new(thrift.CompactProtocol), v)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// forged is a file of one column, time, whose page claims what head says.
func forged(t testing.TB, head *format.PageHeader, body []byte, codec format.CompressionCodec) []byte {
	page := append(compact(t, head), body...)
	foot := compact(t, &format.FileMetaData{
		Version: 1,
		Schema: thrift.Slice[format.SchemaElement]{
			{Name: "log", NumChildren: thrift.New(int32(1))},
			{Name: "time", Type: thrift.New(format.Int64), RepetitionType: thrift.New(format.Required)},
		},
		NumRows: 1 << 40,
		RowGroups: thrift.Slice[format.RowGroup]{{NumRows: 1 << 40, Columns: thrift.Slice[format.ColumnChunk]{{MetaData: format.ColumnMetaData{
			Type: format.Int64, Codec: codec, NumValues: 1 << 40, DataPageOffset: 4, TotalCompressedSize: int64(len(page)),
		}}}}},
	})
	b := append([]byte(magic), page...)
	b = append(b, foot...)
	b = binary.LittleEndian.AppendUint32(b, uint32(len(foot)))
	return append(b, magic...)
}

func dataPage(packed, unpacked, values int32, enc format.Encoding) *format.PageHeader {
	return &format.PageHeader{
		Type: format.DataPage, CompressedPageSize: packed, UncompressedPageSize: unpacked,
		DataPageHeader: thrift.New(format.DataPageHeader{NumValues: values, Encoding: enc, DefinitionLevelEncoding: format.RLE}),
	}
}

// Claims in a head never cost memory that the file does not pay for.
func TestForgedHeads(t *testing.T) {
	zipped := []byte{0x80, 0x80, 0x80, 0x80, 0x04, 0, 0} // snappy: 1 GiB follows
	for _, c := range []struct {
		name string
		file []byte
		want string
	}{
		{"packed size", forged(t, dataPage(math.MaxInt32, 8, 1, format.Plain), nil, format.Uncompressed), "more than 64 MiB"},
		{"packed size below the limit", forged(t, dataPage(60<<20, 8, 1, format.Plain), nil, format.Uncompressed), "claims more than there is"},
		{"negative size", forged(t, dataPage(-1, 8, 1, format.Plain), nil, format.Uncompressed), "claims more"},
		{"unpacked size", forged(t, dataPage(7, 1<<30, 1, format.Plain), zipped, format.Snappy), "more than 64 MiB"},
		{"snappy's own size", forged(t, dataPage(7, 8, 1, format.Plain), zipped, format.Snappy), "length that the page claims"},
		{"number of values", forged(t, dataPage(8, 8, math.MaxInt32, format.Plain), make([]byte, 8), format.Uncompressed), "claims more"},
		{"delta's number of values", forged(t, dataPage(8, 8, 1<<30, format.DeltaBinaryPacked), []byte{0x80, 1, 4, 0x80, 0x80, 0x80, 0x80, 1}, format.Uncompressed), "claims more"},
		{"no dictionary", forged(t, dataPage(3, 3, 1, format.RLEDictionary), []byte{1, 2, 0}, format.Uncompressed), "not in its dictionary"},
		{"unknown codec", forged(t, dataPage(8, 8, 1, format.Plain), make([]byte, 8), format.LZO), "packed with LZO"},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		r, err := NewReader(bytes.NewReader(c.file), int64(len(c.file)), "log.parquet", nil)
		if err == nil {
			_, err = flowlog.ReadAll(r)
		}
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
		if got := after.TotalAlloc - before.TotalAlloc; got > 4<<20 {
			t.Errorf("%s: %d bytes allocated", c.name, got)
		}
	}
}

func TestForgedFooters(t *testing.T) {
	deep := bytes.Repeat([]byte{0x1c}, 1<<20) // a structure in a structure in a ...
	list := []byte{0x29, 0xfc, 0xff, 0xff, 0xff, 0xff, 0x07}
	thin := append([]byte{0x29, 0xfc, 0x80, 0x80, 0x40}, make([]byte, 1<<20)...) // a million empty elements
	huge := []byte{0x18, 0xff, 0xff, 0xff, 0xff, 0x07}
	for name, foot := range map[string][]byte{"deep": deep, "long list": list, "thin list": thin, "long text": huge, "empty": {}, "stop": {0}, "map": {0x2b, 0}} {
		b := append([]byte("PAR1"), foot...)
		b = binary.LittleEndian.AppendUint32(b, uint32(len(foot)))
		b = append(b, magic...)
		_, err := NewReader(bytes.NewReader(b), int64(len(b)), "log.parquet", nil)
		if err == nil || !strings.Contains(err.Error(), "log.parquet: the Parquet file's footer is damaged") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// measure agrees with the library on what a structure takes.
func TestMeasure(t *testing.T) {
	h := dataPage(100, 200, 300, format.RLEDictionary)
	h.DataPageHeader.V.Statistics = format.Statistics{MinValue: []byte("a"), MaxValue: []byte("zz")}
	b := compact(t, h)
	n, err := measure(append(slices.Clone(b), "and more"...), structType, 0)
	if err != nil || n != len(b) {
		t.Errorf("%d bytes, want %d: %v", n, len(b), err)
	}
	for i := range b {
		if n, err := measure(b[:i], structType, 0); err == nil {
			t.Errorf("%d of %d bytes were taken for %d", i, len(b), n)
		}
	}
	var got pageHead
	if _, err := decode(b, &got); err != nil || got.Packed != 100 || got.Unpacked != 200 || got.Data.V.NumValues != 300 || got.Data.V.Encoding != format.RLEDictionary {
		t.Errorf("%+v %v", got, err)
	}
}

// errorAt fails to read at all.
type errorAt struct{}

func (errorAt) ReadAt([]byte, int64) (int, error) { return 0, io.ErrClosedPipe }

func TestFailingSource(t *testing.T) {
	_, err := NewReader(errorAt{}, 1000, "log.parquet", nil)
	if err == nil || !strings.Contains(err.Error(), "log.parquet: the end of the file cannot be read: io: read/write on closed pipe") {
		t.Error(err)
	}
}
