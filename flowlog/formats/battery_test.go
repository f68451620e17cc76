package formats_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"

	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/input"
)

func flowlogEnd(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

// sample is a log of n samples, 5 Hz, with nulls.
func sample(clock flowlog.Clock, n int) *flowlog.Log {
	rng := rand.New(rand.NewPCG(7, uint64(n)))
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: clock}}
	for _, name := range []string{"lat", "lon", "work", "4103:1", "4103:2", "4103:3"} {
		l.Columns = append(l.Columns, flowlog.ColumnNamed(name))
	}
	l.Reset(len(l.Columns))
	for i := range n {
		l.TimeNS = append(l.TimeNS, 1778577330e9+int64(i)*2e8)
		for c, v := range []float64{51.2 + float64(i)*4e-6, -106.3, float64(i / 500 % 2), float64(rng.IntN(40)), float64(rng.IntN(40)), float64(rng.IntN(40))} {
			if rng.IntN(50) == 0 {
				v = math.NaN()
			}
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l
}

// isFault says whether err is of the kind that a person can act on: it names
// the file and, unless the text says it all, a remedy.
func isFault(t *testing.T, what string, err error) {
	t.Helper()
	var f input.Fault
	var fs input.Faults
	switch {
	case errors.As(err, &f):
		fs = input.Faults{f}
	case !errors.As(err, &fs):
		t.Errorf("%s: %T is no input fault: %v", what, err, err)
	}
	for _, f := range fs {
		if f.Place.File == "" || f.What == "" {
			t.Errorf("%s: no place or no words: %+v", what, f)
		}
	}
}

// Every fault of the data is found in every format, with the column's name, and
// what stands before it is given.
func TestEveryFormatFindsFaults(t *testing.T) {
	const good = 2000
	for _, c := range []struct {
		name  string
		spoil func(*flowlog.Log)
		want  string
	}{
		{"negative count", func(l *flowlog.Log) { l.Values[4][good] = -3 }, "4103:2"},
		{"latitude", func(l *flowlog.Log) { l.Values[0][good] = 91 }, "lat"},
		{"work state", func(l *flowlog.Log) { l.Values[2][good] = 2 }, "work"},
		{"clock going back", func(l *flowlog.Log) { l.TimeNS[good] = l.TimeNS[0] }, "goes back from 2026-05-12T09:22:09.8Z to 2026-05-12T09:15:30Z"},
		{"clock standing", func(l *flowlog.Log) { l.TimeNS[good] = l.TimeNS[good-1] }, "comes twice"},
	} {
		for _, suffix := range formats.Suffixes() {
			l := sample(flowlog.UTC, 3000)
			c.spoil(l)
			got, err := readAll(pack(t, suffix, l))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s in %s: %v, want %q", c.name, suffix, err, c.want)
				continue
			}
			isFault(t, c.name+suffix, err)
			if got.Len() != good {
				t.Errorf("%s in %s: %d samples before the fault, want %d", c.name, suffix, got.Len(), good)
			}
		}
	}
}

func TestNoSamplesIsAFault(t *testing.T) {
	for _, suffix := range formats.Suffixes() {
		_, err := readAll(pack(t, suffix, &flowlog.Log{Schema: sample(0, 1).Schema}))
		if err == nil || !strings.Contains(err.Error(), "holds no samples") {
			t.Errorf("%s: %v", suffix, err)
		}
	}
}

func TestOneSample(t *testing.T) {
	for _, suffix := range formats.Suffixes() {
		want := sample(flowlog.Seconds, 1)
		got, err := readAll(pack(t, suffix, want))
		if err != nil {
			t.Fatal(err)
		}
		differ(t, suffix, got, want)
	}
}

// A file cut anywhere gives a fault, or is whole; what was given before is what
// was written, and the fault says how much that is.
func TestCutAnywhere(t *testing.T) {
	want := sample(flowlog.UTC, 4000)
	for _, suffix := range formats.Suffixes() {
		b := pack(t, suffix, want)
		step := max(len(b)/97, 1)
		some := 0
		for n := 0; n < len(b); n += step {
			got, err := readAll(b[:n])
			if suffix == ".csv" && err == nil {
				continue // cut at the end of a line, or in its last number
			}
			if err == nil {
				t.Fatalf("%s cut at %d of %d bytes: no error", suffix, n, len(b))
			}
			isFault(t, suffix, err)
			if got != nil && got.Len() > 0 {
				some++
				head := &flowlog.Log{Schema: want.Schema}
				head.TimeNS = want.TimeNS[:got.Len()]
				for _, v := range want.Values {
					head.Values = append(head.Values, v[:got.Len()])
				}
				differ(t, suffix+" cut", got, head)
			}
		}
		if some == 0 && suffix != ".parquet" {
			t.Errorf("%s: no cut file gave samples", suffix)
		}
	}
}

func TestCutFileSaysHowMuchIsWhole(t *testing.T) {
	b := pack(t, ".csv.gz", sample(flowlog.UTC, 40000))
	got, err := readAll(b[:len(b)*2/3])
	want := "the file is cut short: its gzip data end in the middle; the "
	if err == nil || !strings.Contains(err.Error(), want) || got.Len() < 10000 {
		t.Fatalf("%v, %d samples", err, got.Len())
	}
	if last := got.Clock.Format(got.TimeNS[got.Len()-1]); !strings.Contains(err.Error(), last) {
		t.Errorf("%v does not name the last time, %s", err, last)
	}
}

// Flipped bits never make a reader panic or hang; what comes out keeps the
// rules.
func TestFlippedBits(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for _, suffix := range formats.Suffixes() {
		b := pack(t, suffix, sample(flowlog.UTC, 1500))
		for range 400 {
			bad := bytes.Clone(b)
			for range 1 + rng.IntN(3) {
				bad[rng.IntN(len(bad))] ^= 1 << rng.IntN(8)
			}
			checkAny(t, bad)
		}
	}
}

// checkAny reads any bytes: an error must be a fault with a place, and samples
// must keep the rules of a log.
func checkAny(t *testing.T, b []byte) {
	t.Helper()
	r, closer, err := open(b)
	if err != nil {
		isFault(t, "open", err)
		return
	}
	defer closer()
	last, any := int64(0), false
	var batch flowlog.Batch
	for cells := 0; cells < 1<<22; {
		err := r.Read(&batch)
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			isFault(t, "read", err)
			return
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
}

// What a long log allocates while it is read is what a short one does.
func TestMemoryDoesNotGrow(t *testing.T) {
	for _, suffix := range formats.Suffixes() {
		short, long := pack(t, suffix, sample(flowlog.UTC, 20000)), pack(t, suffix, sample(flowlog.UTC, 160000))
		few, many := allocated(t, short), allocated(t, long)
		if many > few+few/2+1<<20 {
			t.Errorf("%s: %d bytes for 20000 samples, %d for 160000", suffix, few, many)
		}
	}
}

func allocated(t *testing.T, b []byte) uint64 {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	r, closer, err := open(b)
	if err != nil {
		t.Fatal(err)
	}
	defer closer()
	var batch flowlog.Batch
	for err == nil {
		err = r.Read(&batch)
	}
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A bomb is a small file that unpacks to a large one.
func TestBombs(t *testing.T) {
	zeros := io.LimitReader(zeroReader{}, 256<<20)
	var gz, zst bytes.Buffer
	gw := gzip.NewWriter(&gz)
	zw, _ := zstd.NewWriter(&zst)
	if _, err := io.Copy(io.MultiWriter(gw, zw), zeros); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(gw.Close(), zw.Close()); err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string][]byte{"gzip": gz.Bytes(), "zstd": zst.Bytes()} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := readAll(b)
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), "longer than 16 MiB") {
			t.Errorf("%s: %v", name, err)
		}
		if got := after.TotalAlloc - before.TotalAlloc; got > 128<<20 {
			t.Errorf("%s: %d bytes allocated", name, got)
		}
	}
}

type zeroReader struct{}

func (zeroReader) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = '0'
	}
	return len(b), nil
}

func TestStrangersAreNamed(t *testing.T) {
	for _, c := range []struct{ head, want string }{
		{"PK\x03\x04 a spreadsheet", "the zip archive is damaged"},
		{"%PDF-1.7", "this is a PDF"},
		{"\xfd7zXZ\x00", "xz data"},
		{"PAR1", "Parquet file is cut short"},
		{"PARE and so on, more than twelve PARE", "Parquet file is encrypted"},
	} {
		_, err := readAll([]byte(c.head))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.head, err, c.want)
		}
	}
}

func TestCreateWantsAKnownName(t *testing.T) {
	_, err := formats.Create("out.xlsx", io.Discard, flowlog.Schema{})
	if want := "out.xlsx: the name does not say which format to write; end it in .csv, .csv.gz, .csv.zst or .parquet"; err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	twice := flowlog.Schema{Columns: []flowlog.Column{flowlog.ColumnNamed("1:1"), flowlog.ColumnNamed("1:1")}}
	if _, err := formats.Create("out.csv", io.Discard, twice); err == nil {
		t.Error("a log with two columns of one name was begun")
	}
}

// A Parquet file in a stream is read, too.
func TestParquetFromAStream(t *testing.T) {
	want := sample(flowlog.UTC, 100)
	b := pack(t, ".parquet", want)
	r, closer, err := formats.Open(formats.Source{Name: "-", Stream: bytes.NewReader(b)})
	if err != nil {
		t.Fatal(err)
	}
	defer closer()
	got, err := drain(r)
	if err != nil {
		t.Fatal(err)
	}
	differ(t, "stream", got, want)
}

func TestOnly(t *testing.T) {
	l := sample(flowlog.UTC, 3000)
	for _, suffix := range formats.Suffixes() {
		got, err := readAll(pack(t, suffix, l), formats.Only(func(c flowlog.Column) bool { return c.Name == "4103:2" || c.Kind == flowlog.Lon }))
		if err != nil {
			t.Fatal(err)
		}
		want := &flowlog.Log{Schema: flowlog.Schema{Columns: []flowlog.Column{l.Columns[1], l.Columns[4]}}}
		want.TimeNS, want.Values = l.TimeNS, [][]float64{l.Values[1], l.Values[4]}
		differ(t, suffix, got, want)
	}
}

// FuzzOpen reads any bytes in whatever format they seem to be.
func FuzzOpen(f *testing.F) {
	files, err := filepath.Glob("../parquet/testdata/*")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		if info, err := os.Stat(name); err != nil || info.IsDir() {
			continue
		}
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	for _, suffix := range formats.Suffixes() {
		f.Add(pack(f, suffix, sample(flowlog.UTC, 20)))
		f.Add(pack(f, suffix, sample(flowlog.Seconds, 3)))
	}
	f.Fuzz(func(t *testing.T, b []byte) { checkAny(t, b) })
}
