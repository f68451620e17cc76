package parquet_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/apache/arrow-go/v18/arrow"
	"github.com/apache/arrow-go/v18/arrow/array"
	"github.com/apache/arrow-go/v18/arrow/decimal128"
	"github.com/apache/arrow-go/v18/arrow/memory"
	pq "github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/deprecated"

	"runproof/flowlog"
	"runproof/flowlog/parquet"
)

// fileOf has parquet-go write rows of a struct.
func fileOf[T any](t *testing.T, rows []T) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := pq.NewGenericWriter[T](&buf)
	if _, err := w.Write(rows); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func tryAll(b []byte, keep func(flowlog.Column) bool) (*flowlog.Log, error) {
	r, err := parquet.NewReader(bytes.NewReader(b), int64(len(b)), "log.parquet", keep)
	if err != nil {
		return nil, err
	}
	return flowlog.ReadAll(r)
}

func TestColumnsThatAreNoNumbers(t *testing.T) {
	type point struct {
		X, Y float64
	}
	type row struct {
		Note  string    `parquet:"note"`
		Where point     `parquet:"where"`
		Time  float64   `parquet:"time"`
		List  []float64 `parquet:"list"`
		Count int32     `parquet:"4103:1"`
	}
	b := fileOf(t, []row{{"all well", point{1, 2}, 0, []float64{1, 2, 3}, 7}, {"still", point{3, 4}, 1, nil, 8}})
	_, err := tryAll(b, nil)
	for _, want := range []string{"column note is STRING", "column where is a group", "column list is a list"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
	// They do not stand in the way of the others.
	l, err := tryAll(b, func(c flowlog.Column) bool { return c.Kind == flowlog.Port })
	if err != nil {
		t.Fatal(err)
	}
	wantValues(t, "4103:1", l.Values[0], []float64{7, 8})
}

func TestFaultsOfTheHead(t *testing.T) {
	type noTime struct {
		Stamp int64 `parquet:"timestamp"`
	}
	type textTime struct {
		Time string `parquet:"time"`
	}
	type dayTime struct {
		Time int32 `parquet:"time,date"`
	}
	type ok struct {
		Time float64 `parquet:"time"`
	}
	for _, c := range []struct {
		name string
		file []byte
		want string
	}{
		{"no time", fileOf(t, []noTime{{1}}), `log.parquet: no column is called time; rename column 1, "timestamp", if that is it`},
		{"text", fileOf(t, []textTime{{"noon"}}), "log.parquet: column time is STRING; write it as a timestamp"},
		{"date", fileOf(t, []dayTime{{1}}), "log.parquet: column time is DATE"},
		{"no samples", fileOf[ok](t, nil), "log.parquet: the log holds no samples"},
		{"no number", fileOf(t, []ok{{0}, {1}, {math.NaN()}}), "log.parquet: sample 3, column time: the time is no number"},
		{"infinite", fileOf(t, []ok{{math.Inf(1)}}), "log.parquet: sample 1, column time: the time is no number"},
		{"back", fileOf(t, []ok{{2}, {1}}), "log.parquet: sample 2, column time: time goes back from 2 to 1"},
	} {
		_, err := tryAll(c.file, nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func TestFaultsOfValues(t *testing.T) {
	type row struct {
		Time  float64  `parquet:"time"`
		Count *float64 `parquet:"4103:1,optional"`
	}
	v := func(x float64) *float64 { return &x }
	for name, c := range map[string]struct {
		rows []row
		want string
	}{
		"NaN":      {[]row{{0, v(1)}, {1, nil}, {2, v(math.NaN())}}, "log.parquet: sample 3, column 4103:1: NaN is no number"},
		"infinite": {[]row{{0, nil}, {1, v(math.Inf(1))}}, "log.parquet: sample 2, column 4103:1: +Inf is no number"},
		"negative": {[]row{{0, nil}, {1, nil}, {2, v(0)}, {3, v(-1)}}, "log.parquet: sample 4, column 4103:1: the count -1 is negative"},
	} {
		b := fileOf(t, c.rows)
		if _, err := tryAll(b, nil); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
		r, err := parquet.NewReader(bytes.NewReader(b), int64(len(b)), "log.parquet", nil)
		if err != nil {
			t.Fatal(err)
		}
		var batch flowlog.Batch
		if err := r.Read(&batch); err != nil || batch.Len() != len(c.rows)-1 {
			t.Errorf("%s: %v, %d samples before", name, err, batch.Len())
		}
		for i, x := range batch.Values[0] {
			if want := c.rows[i].Count; want == nil && x == x || want != nil && x != *want {
				t.Errorf("%s: sample %d is %v", name, i, x)
			}
		}
	}
}

func TestMissingTime(t *testing.T) {
	type row struct {
		Time *int64 `parquet:"time,optional,timestamp(millisecond)"`
	}
	ms := int64(5)
	_, err := tryAll(fileOf(t, []row{{&ms}, {nil}}), nil)
	if want := "log.parquet: sample 2, column time: the time is missing"; err == nil || !strings.Contains(err.Error(), want) {
		t.Error(err)
	}
}

// Spark and Impala write, or used to write, timestamps as INT96.
func TestInt96(t *testing.T) {
	schema := pq.NewSchema("log", pq.Group{"time": pq.Leaf(pq.Int96Type)})
	var buf bytes.Buffer
	w := pq.NewGenericWriter[any](&buf, schema)
	// 2026-05-12 is day 20585 from 1970-01-01 (1778544000 s / 86400), Julian
	// day 2461173; 33330.2 s into it.
	ofDay := uint64(33330_200000000)
	v := pq.Int96Value(deprecated.Int96{uint32(ofDay), uint32(ofDay >> 32), 2461173})
	if _, err := w.ColumnWriters()[0].WriteRowValues([]pq.Value{v}); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	l, err := tryAll(buf.Bytes(), nil)
	if err != nil || l.Clock != flowlog.UTC || l.Clock.Format(l.TimeNS[0]) != "2026-05-12T09:15:30.2Z" {
		t.Errorf("%v %v", l, err)
	}
}

func TestDecimals(t *testing.T) {
	type row struct {
		Time  int64 `parquet:"time,decimal(3:18)"`
		Count int32 `parquet:"4103:1,decimal(2:9)"`
	}
	l, err := tryAll(fileOf(t, []row{{1500, 125}, {1778577330003, 300}}), nil)
	if err != nil || l.Clock != flowlog.Seconds || l.TimeNS[0] != 1500000000 || l.TimeNS[1] != 1778577330_003000000 {
		t.Fatalf("%v %v", l, err)
	}
	wantValues(t, "4103:1", l.Values[0], []float64{1.25, 3})
}

// A DECIMAL of Arrow's, in fixed bytes, is no number that is read here.
func TestWideDecimalIsAFault(t *testing.T) {
	b := array.NewDecimal128Builder(memory.DefaultAllocator, &arrow.Decimal128Type{Precision: 38, Scale: 2})
	b.Append(decimal128.FromI64(100))
	file := writeArrow(t, build(arrow.PrimitiveTypes.Float64, []float64{0}), []arrow.Array{b.NewArray()}, sparse)
	if _, err := tryAll(file, nil); err == nil || !strings.Contains(err.Error(), "column 1:1 is DECIMAL") {
		t.Error(err)
	}
}

func TestSecondsThatDoubleDoesNotHold(t *testing.T) {
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: flowlog.Seconds}}
	l.TimeNS = []int64{1778577330_123456789}
	var buf bytes.Buffer
	w := parquet.NewWriter(&buf, l.Schema)
	if err := w.Write(&l.Batch); err == nil || !strings.Contains(err.Error(), "time 1778577330.123456789 has more digits than Parquet keeps for seconds") {
		t.Error(err)
	}
	l.TimeNS[0] = 1778577330_123456000
	if got, err := tryAll(write(t, l), nil); err != nil || got.TimeNS[0] != l.TimeNS[0] {
		t.Errorf("%v %v", got, err)
	}
}
