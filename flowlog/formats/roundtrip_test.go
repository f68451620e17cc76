package formats_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"runproof/flowlog"
	"runproof/flowlog/formats"
)

// names are columns of every kind, with names that need care in a file.
var names = []string{"4103:1", "4103:2", "lat", "lon", "speed", "course", "work", "sec:S1", "008D:DET-1#2", "a,b", `say "so"`, " blank ", "zwei\nZeilen", "µ:3"}

func pack(t testing.TB, suffix string, l *flowlog.Log) []byte {
	t.Helper()
	b, err := tryPack(suffix, l)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func tryPack(suffix string, l *flowlog.Log) ([]byte, error) {
	var buf bytes.Buffer
	w, err := formats.Create("log"+suffix, &buf, l.Schema)
	if err != nil {
		return nil, err
	}
	err = errors.Join(w.Write(&l.Batch), w.Close())
	return buf.Bytes(), err
}

// open opens b under a name that says nothing of its format.
func open(b []byte, opts ...formats.Option) (flowlog.Reader, func(), error) {
	return formats.Open(formats.Source{Name: "day.log", Stream: bytes.NewReader(b), At: bytes.NewReader(b), Size: int64(len(b))}, opts...)
}

// readAll reads all of b; with an error comes what was read before it.
func readAll(b []byte, opts ...formats.Option) (*flowlog.Log, error) {
	r, closer, err := open(b, opts...)
	if err != nil {
		return nil, err
	}
	defer closer()
	return drain(r)
}

func drain(r flowlog.Reader) (*flowlog.Log, error) {
	l := &flowlog.Log{Schema: r.Schema()}
	l.Reset(len(l.Columns))
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		l.TimeNS = append(l.TimeNS, b.TimeNS...)
		for c := range b.Values {
			l.Values[c] = append(l.Values[c], b.Values[c]...)
		}
		if err != nil {
			return l, flowlogEnd(err)
		}
	}
}

// differ says where two logs are not the same, or nothing.
func differ(t interface{ Fatalf(string, ...any) }, what string, got, want *flowlog.Log) {
	if got.Clock != want.Clock || len(got.Columns) != len(want.Columns) || got.Len() != want.Len() {
		t.Fatalf("%s: %s, %d columns, %d samples; want %s, %d, %d", what, got.Clock, len(got.Columns), got.Len(), want.Clock, len(want.Columns), want.Len())
	}
	for c := range want.Columns {
		if got.Columns[c] != want.Columns[c] {
			t.Fatalf("%s: column %d is %+v, want %+v", what, c, got.Columns[c], want.Columns[c])
		}
	}
	for i := range want.TimeNS {
		if got.TimeNS[i] != want.TimeNS[i] {
			t.Fatalf("%s: time %d is %d, want %d", what, i, got.TimeNS[i], want.TimeNS[i])
		}
		for c := range want.Columns {
			if g, w := got.Values[c][i], want.Values[c][i]; g != w && (g == g || w == w) {
				t.Fatalf("%s: sample %d of %s is %v, want %v", what, i, want.Columns[c].Name, g, w)
			}
		}
	}
}

// logs draws a log with columns of all kinds, nulls and either form of time.
func logs() *rapid.Generator[*flowlog.Log] {
	return rapid.Custom(func(t *rapid.T) *flowlog.Log {
		l := &flowlog.Log{}
		l.Clock = rapid.SampledFrom([]flowlog.Clock{flowlog.UTC, flowlog.Seconds}).Draw(t, "clock")
		for _, n := range rapid.Permutation(names).Draw(t, "order")[:rapid.IntRange(0, len(names)).Draw(t, "columns")] {
			l.Columns = append(l.Columns, flowlog.ColumnNamed(n))
		}
		n := rapid.IntRange(1, 300).Draw(t, "samples")
		ns := rapid.Int64Range(-1e15, 1e15).Draw(t, "start")
		l.Reset(len(l.Columns))
		for range n {
			ns += rapid.Int64Range(1, 2e9).Draw(t, "step")
			l.TimeNS = append(l.TimeNS, ns)
			for c, col := range l.Columns {
				l.Values[c] = append(l.Values[c], value(col.Kind).Draw(t, col.Name))
			}
		}
		return l
	})
}

// value draws a value that a column of that kind may hold, or none.
func value(k flowlog.Kind) *rapid.Generator[float64] {
	var some *rapid.Generator[float64]
	switch k {
	case flowlog.Port:
		some = rapid.OneOf(rapid.Map(rapid.IntRange(0, 40), func(i int) float64 { return float64(i) }), rapid.Float64Range(0, math.MaxFloat64))
	case flowlog.Lat:
		some = rapid.Float64Range(-90, 90)
	case flowlog.Lon:
		some = rapid.Float64Range(-180, 180)
	case flowlog.Speed:
		some = rapid.Float64Range(-100, 100)
	case flowlog.Course:
		some = rapid.Float64Range(-360, 360)
	case flowlog.Work, flowlog.Section:
		some = rapid.SampledFrom([]float64{0, 1})
	default:
		some = rapid.Float64Range(-math.MaxFloat64, math.MaxFloat64)
	}
	return rapid.OneOf(some, rapid.Just(math.NaN()))
}

// Write then read is the identity, in every format.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := logs().Draw(t, "log")
		for _, suffix := range formats.Suffixes() {
			b, err := tryPack(suffix, want)
			if err != nil {
				t.Fatalf("%s: %v", suffix, err)
			}
			got, err := readAll(b)
			if err != nil {
				t.Fatalf("%s: %v", suffix, err)
			}
			differ(t, suffix, got, want)
		}
	})
}

// Any order of formats gives the same log: the bytes of the last do not depend
// on the way there.
func TestWayDoesNotMatter(t *testing.T) {
	l := sample(flowlog.UTC, 5000)
	for _, via := range formats.Suffixes() {
		through, err := readAll(pack(t, via, l))
		if err != nil {
			t.Fatal(err)
		}
		for _, suffix := range formats.Suffixes() {
			if !bytes.Equal(pack(t, suffix, through), pack(t, suffix, l)) {
				t.Errorf("%s by way of %s has other bytes", suffix, via)
			}
		}
	}
}

// FuzzRoundTrip makes a log of whatever bytes come and sends it through every
// format.
func FuzzRoundTrip(f *testing.F) {
	f.Add([]byte{0, 3, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
	f.Add(binary.LittleEndian.AppendUint64([]byte{1, 1, 200}, math.Float64bits(1e-320)))
	f.Fuzz(func(t *testing.T, b []byte) {
		want := logOf(b)
		for _, suffix := range formats.Suffixes() {
			got, err := readAll(pack(t, suffix, want))
			if err != nil {
				t.Fatalf("%s: %v", suffix, err)
			}
			differ(t, suffix, got, want)
		}
	})
}

// logOf turns bytes into a log that keeps the rules.
func logOf(b []byte) *flowlog.Log {
	next := func(n int) uint64 {
		var w [8]byte
		k := copy(w[:n], b)
		b = b[k:]
		return binary.LittleEndian.Uint64(w[:])
	}
	l := &flowlog.Log{}
	l.Clock = flowlog.Clock(next(1) % 2)
	for _, n := range names[:next(1)%uint64(len(names)+1)] {
		l.Columns = append(l.Columns, flowlog.ColumnNamed(n))
	}
	l.Reset(len(l.Columns))
	ns := int64(next(6)) - 1<<47
	for {
		ns += 1 + int64(next(4))
		l.TimeNS = append(l.TimeNS, ns)
		for c, col := range l.Columns {
			v := math.Float64frombits(next(8)) + 0
			if col.Kind.Check(v) != nil {
				v = math.NaN()
			}
			l.Values[c] = append(l.Values[c], v)
		}
		if len(b) == 0 {
			return l
		}
	}
}
