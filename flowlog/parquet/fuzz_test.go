package parquet_test

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"testing"

	"github.com/apache/arrow-go/v18/arrow"
	pq "github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/compress"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
	"runproof/input"
)

// seeds are small files in each encoding; most are not packed, so that changed
// bytes reach the decoders.
func seeds(t *testing.T) [][]byte {
	rng := rand.New(rand.NewPCG(1, 1))
	const n = 40
	v := counts(rng, n)
	time := build(&arrow.TimestampType{Unit: arrow.Millisecond, TimeZone: "UTC"}, millis(n, 1778577330, 1e3))
	var files [][]byte
	for _, opts := range [][]pq.WriterProperty{
		{pq.WithDictionaryDefault(true)},
		{pq.WithDictionaryDefault(true), pq.WithDataPageVersion(pq.DataPageV2)},
		{pq.WithDictionaryDefault(false)},
		{pq.WithDictionaryDefault(false), pq.WithEncodingFor("1:1", pq.Encodings.DeltaBinaryPacked), pq.WithEncodingFor("time", pq.Encodings.DeltaBinaryPacked)},
		{pq.WithDictionaryDefault(false), pq.WithEncodingFor("1:1", pq.Encodings.ByteStreamSplit)},
		{pq.WithCompression(compress.Codecs.Snappy)},
		{pq.WithCompression(compress.Codecs.Lz4Raw)},
		{pq.WithCompression(compress.Codecs.Gzip)},
		{pq.WithCompression(compress.Codecs.Brotli)},
	} {
		files = append(files, writeArrow(t, time, []arrow.Array{build(arrow.PrimitiveTypes.Int32, v), build(arrow.PrimitiveTypes.Float64, v)}, 17, opts...))
	}
	seconds := build(arrow.PrimitiveTypes.Float64, millis(n, 0, 1))
	bits := make([]float64, n)
	for i := range bits {
		bits[i] = float64(i % 2)
	}
	files = append(files, writeArrow(t, seconds, []arrow.Array{build(arrow.FixedWidthTypes.Boolean, bits), build(arrow.FixedWidthTypes.Float16, bits)}, sparse))
	return append(files, write(t, sample(flowlog.UTC, 20)), write(t, sample(flowlog.Seconds, 20)))
}

func FuzzRead(f *testing.F) {
	for _, b := range seeds(new(testing.T)) {
		f.Add(b)
	}
	f.Fuzz(checkAny)
}

// TestFlippedBits does a little of the same in each run of the tests.
func TestFlippedBits(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for _, b := range seeds(t) {
		checkAny(t, b)
		for range 300 {
			bad := bytes.Clone(b)
			for range 1 + rng.IntN(4) {
				bad[rng.IntN(len(bad))] ^= 1 << rng.IntN(8)
			}
			checkAny(t, bad)
		}
	}
}

// checkAny reads any bytes, plain and narrow: an error is a fault with a place, and samples keep
// the rules of a log.
func checkAny(t *testing.T, b []byte) {
	bothWays(t, b)
	r, err := parquet.NewReader(bytes.NewReader(b), int64(len(b)), "log.parquet", nil)
	last, any := int64(0), false
	var batch flowlog.Batch
	for cells := 0; err == nil && cells < 1<<20; {
		if err = r.Read(&batch); err != nil {
			break
		}
		if batch.Len() == 0 {
			t.Fatal("an empty batch and no error")
		}
		for _, ns := range batch.TimeNS {
			if any && ns <= last {
				t.Fatalf("time %d after %d", ns, last)
			}
			last, any = ns, true
		}
		for c, v := range batch.Values {
			cells += len(v)
			for _, x := range v {
				if x == x && r.Schema().Columns[c].Kind.Check(x) != nil {
					t.Fatalf("%v in %s", x, r.Schema().Columns[c].Name)
				}
			}
		}
	}
	if err == nil || errors.Is(err, io.EOF) {
		return
	}
	var f input.Fault
	var fs input.Faults
	if errors.As(err, &f) {
		fs = input.Faults{f}
	} else if !errors.As(err, &fs) {
		t.Fatalf("%T is no fault: %v", err, err)
	}
	if fs[0].Place.File != "log.parquet" || fs[0].What == "" {
		t.Fatalf("no place: %+v", fs[0])
	}
}
