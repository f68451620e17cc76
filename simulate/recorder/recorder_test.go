package recorder_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/can"
	"runproof/flowlog/formats"
	"runproof/flowlog/mapping"
	"runproof/simulate/recorder"
)

// day is a made-up log of two nodes at 5 Hz.
func day(n int) *flowlog.Log {
	rng := rand.New(rand.NewPCG(3, 3))
	l := &flowlog.Log{}
	for _, name := range []string{"4103:1", "4103:2", "4103:3", "4103:4", "4103:5", "4103:12", "4106:1", "lat", "lon", "speed", "course", "work", "sec:LEFT"} {
		l.Columns = append(l.Columns, flowlog.ColumnNamed(name))
	}
	l.Reset(len(l.Columns))
	for i := range n {
		l.TimeNS = append(l.TimeNS, 1778577330e9+int64(i)*2e8)
		for c := range l.Columns {
			v := float64(rng.IntN(60))
			switch l.Columns[c].Kind {
			case flowlog.Lat:
				v = -33.5 + float64(i)*1e-6
			case flowlog.Lon:
				v = 0.00001 - float64(i)*1e-6 // crosses the meridian
			case flowlog.Speed:
				v = 2.2
			case flowlog.Course:
				v = 359.5
			case flowlog.Work:
				v = float64(i / 100 % 2)
			case flowlog.Section:
				v = float64(i / 70 % 2)
			}
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l
}

// TestCANRoundTrip: what is recorded as running counts on a bus comes back, by
// the map that log map proposes, as the counts that went in.
func TestCANRoundTrip(t *testing.T) {
	want := day(1000)
	var frames, dbc bytes.Buffer
	if err := recorder.WriteCAN(want.NewReader(300), &frames, &dbc); err != nil {
		t.Fatal(err)
	}
	db, err := can.ReadDBC(bytes.NewReader(dbc.Bytes()), "nodes.dbc")
	if err != nil {
		t.Fatal(err)
	}
	src := func() formats.Source {
		return formats.Source{Name: "day.log", Stream: bytes.NewReader(frames.Bytes()), At: bytes.NewReader(frames.Bytes()), Size: int64(frames.Len())}
	}
	raw, closer, err := formats.Open(src(), formats.WithDatabase(db))
	if err != nil {
		t.Fatal(err)
	}
	p, err := mapping.Propose(raw)
	closer()
	if err != nil {
		t.Fatal(err)
	}
	r, closer, err := formats.Open(src(), formats.WithDatabase(db), formats.With(&p.Map))
	if err != nil {
		t.Fatal(err)
	}
	defer closer()
	got, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	if got.Len() != want.Len() {
		t.Fatalf("%d rows, want %d", got.Len(), want.Len())
	}
	ports := 0
	for c, col := range want.Columns {
		if col.Kind != flowlog.Port && col.Kind != flowlog.Work && col.Kind != flowlog.Section {
			continue
		}
		if col.Kind == flowlog.Port && col.Port.Node == "4106" {
			continue // one port is no family: nobody can know that it counts
		}
		ports++
		k := 0
		for k < len(got.Columns) && got.Columns[k].Name != col.Name {
			k++
		}
		if k == len(got.Columns) {
			t.Fatalf("no column %s in %v", col.Name, got.Columns)
		}
		for i := 1; i < got.Len(); i++ {
			if got.Values[k][i] != want.Values[c][i] {
				t.Fatalf("%s row %d: %v, want %v", col.Name, i, got.Values[k][i], want.Values[c][i])
			}
		}
	}
	if ports != 8 {
		t.Errorf("%d columns compared", ports)
	}
}

func TestNMEARoundTrip(t *testing.T) {
	want := day(1000)
	want.Values[7][500], want.Values[8][500] = math.NaN(), math.NaN()
	var b bytes.Buffer
	if err := recorder.WriteNMEA(want.NewReader(300), &b, recorder.Clock{OffsetS: -70.25}); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(b.String()) {
		if len(line) > 82 { // the standard's longest sentence
			t.Fatalf("%d characters: %s", len(line), line)
		}
	}
	r, closer, err := formats.Open(formats.Source{Name: "day.nmea", Stream: &b})
	if err != nil {
		t.Fatal(err)
	}
	defer closer()
	got, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	if got.Len() != 200 {
		t.Fatalf("%d fixes, want 200", got.Len())
	}
	for i := range got.Len() {
		from := 5 * i
		if off := float64(got.TimeNS[i]-want.TimeNS[from]) / 1e9; math.Abs(off+70.25) > 0.0051 {
			t.Fatalf("fix %d: %v s off", i, off)
		}
		// 0.00001 minutes, and half of it in rounding.
		for k, tol := range map[flowlog.Kind]float64{flowlog.Lat: 1e-7, flowlog.Lon: 1e-7, flowlog.Speed: 3e-4, flowlog.Course: 0.005} {
			g, w := got.Column(k)[i], want.Column(k)[from]
			if from == 500 {
				if g == g && (k == flowlog.Lat || k == flowlog.Lon) {
					t.Errorf("fix %d: %v where there was none", i, g)
				}
				continue
			}
			if !(math.Abs(g-w) <= tol) {
				t.Fatalf("fix %d, %s: %v, want %v", i, fmt.Sprint(k), g, w)
			}
		}
	}
}
