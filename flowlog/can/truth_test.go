package can_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/can"
)

// database reads a DBC of testdata.
func database(t testing.TB, name string) *can.Database {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	db, err := can.ReadDBC(bytes.NewReader(b), name)
	if err != nil {
		t.Fatal(err)
	}
	return db
}

func file(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// read decodes a recording, and gives what its reader had to say.
func read(t testing.TB, text []byte, db *can.Database, bus string) (*flowlog.Log, []flowlog.Remark) {
	t.Helper()
	r, err := can.NewReader(can.Source{Name: "x.log", Stream: bytes.NewReader(text), Scan: bytes.NewReader(text), Bus: bus}, db, nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l, r.Remarks()
}

// cell is a value of a log by its column and time.
type cell struct {
	column string
	ns     int64
}

// cells are all values of a log that are reported.
func cells(l *flowlog.Log) map[cell]float64 {
	all := map[cell]float64{}
	for c, col := range l.Columns {
		for i, v := range l.Values[c] {
			if v == v {
				all[cell{col.Name, l.TimeNS[i]}] = v
			}
		}
	}
	return all
}

// sampleTruth is truth.csv of sample set "sample-can" (decoded by
// go.einride.tech/can 0.17.0 and by python-can 4.1 with an own bit reader, which
// agreed), by column. name gives the message's from the id.
func sampleTruth(t *testing.T, name func(id string) (message, suffix string)) map[cell]float64 {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(file(t, "sample/truth.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	truth := map[cell]float64{}
	put := func(column string, ns int64, text string) {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		truth[cell{column, ns}] = v
	}
	for _, row := range rows[1:] {
		ns, _, err := flowlog.ParseTime(row[0])
		if err != nil {
			t.Fatal(err)
		}
		message, suffix := name(row[1])
		put(message+"."+row[3]+suffix, ns, row[4])
		if row[2] != "" {
			put(message+".Mux"+suffix, ns, row[2])
		}
	}
	if len(rows)-1 != 5170 {
		t.Fatalf("%d values, want 5170", len(rows)-1)
	}
	return truth
}

var byID = func(id string) (message, suffix string) {
	return map[string]string{"18FF4091": "RunCountsA", "18FF4092": "RunCountsB", "18FF4191": "NodeStateA", "18FF4192": "NodeStateB", "18FE4980": "GroundSpeed"}[id], ""
}

var byGroup = func(id string) (message, suffix string) {
	if id == "18FE4980" {
		return "GroundSpeed", ""
	}
	return map[string]string{"FF40": "RunCounts", "FF41": "NodeState"}[id[2:6]], "@" + id[6:]
}

// TestSample: every value of the sample set, by ids and by parameter groups, in
// log form and in console form (log2long of can-utils 2020.11 made that), and
// nothing besides.
func TestSample(t *testing.T) {
	for _, c := range []struct {
		dbc  string
		name func(string) (string, string)
	}{{"sample/runcounts.dbc", byID}, {"sample/runcounts-pgn.dbc", byGroup}} {
		truth := sampleTruth(t, c.name)
		for _, log := range []string{"sample/runcounts.log", "console.txt"} {
			l, remarks := read(t, file(t, log), database(t, c.dbc), "can0")
			same(t, log+" "+c.dbc, cells(l), truth)
			// 150 of ground speed, 885 of counts, 59 of states.
			if l.Clock != flowlog.UTC || l.Len() != 1094 {
				t.Errorf("%s: %v, %d records", log, l.Clock, l.Len())
			}
			counts := "RunCountsA"
			if c.dbc != "sample/runcounts.dbc" {
				counts = "RunCounts@91"
			}
			// What the sample has in it on purpose.
			want := "lost: 1 frame of " + counts + ` left out: too short for the message
1 FD frame of ` + counts + ` left out: most others are classic ones
3 frames left out: not in the DBC, with 3 ids: 123 (1), 0CF00400 (1), 18EEFF91 (1)
1 remote request left out
1 error reported on the bus`
			if got := told(remarks); got != want {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		}
	}
}

// A message that comes over two interfaces keeps apart by columns.
func TestSampleOfAllBuses(t *testing.T) {
	truth := sampleTruth(t, byID)
	l, remarks := read(t, file(t, "sample/runcounts.log"), database(t, "sample/runcounts.dbc"), "")
	const ns = 1778577330080e6
	for _, signal := range []string{"Mux", "Seq", "Run01", "Run02", "Run03", "Run04"} { // (1778577330.080000) can1 18FF4091#0000000000000000
		truth[cell{"RunCountsA." + signal + "@can1", ns}] = 0
	}
	same(t, "all buses", cells(l), truth)
	if want := "RunCountsA over can1 (1 frame); put # and an interface's name, such as #can1,"; !strings.Contains(told(remarks), want) {
		t.Errorf("%s\nlacks %s", told(remarks), want)
	}
}

func told(remarks []flowlog.Remark) string {
	var lines []string
	for _, m := range remarks {
		if m.Lost {
			lines = append(lines, "lost: "+m.What)
		} else {
			lines = append(lines, m.What)
		}
	}
	return strings.Join(lines, "\n")
}

// same compares all that was reported, both ways, to the last bit.
func same(t *testing.T, what string, got, want map[cell]float64) {
	t.Helper()
	bad := 0
	for k, v := range want {
		if g, ok := got[k]; !ok || g != v {
			if bad++; bad < 5 {
				t.Errorf("%s: %s at %s: %v (%v), want %v", what, k.column, flowlog.UTC.Format(k.ns), g, ok, v)
			}
		}
	}
	for k, v := range got {
		if _, ok := want[k]; !ok {
			if bad++; bad < 5 {
				t.Errorf("%s: %s at %s: %v, which nobody sent", what, k.column, flowlog.UTC.Format(k.ns), v)
			}
		}
	}
	if bad > 0 {
		t.Errorf("%s: %d of %d values differ", what, bad, len(want))
	}
}
