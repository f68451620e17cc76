package gpx_test

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"runproof/flowlog"
	"runproof/flowlog/gpx"
)

// read gives the log of a text, and what its reader had to say.
func read(t testing.TB, text string) (*flowlog.Log, []flowlog.Remark) {
	t.Helper()
	r, err := gpx.NewReader(strings.NewReader(text), "x.gpx", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l, r.Remarks()
}

func file(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// TestTruth: every point as GDAL 3.6.2 reads it (testdata/SOURCE.md).
func TestTruth(t *testing.T) {
	for _, name := range []string{"points10", "points11"} {
		rows, err := csv.NewReader(strings.NewReader(file(t, name+".csv"))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		head := map[string]int{}
		for i, n := range rows[0] {
			head[n] = i
		}
		l, remarks := read(t, file(t, name+".gpx"))
		if l.Len() != len(rows)-1 || len(remarks) != 0 || l.Clock != flowlog.UTC {
			t.Fatalf("%s: %d points, want %d; %v", name, l.Len(), len(rows)-1, remarks)
		}
		for i, row := range rows[1:] {
			at, err := time.Parse("2006/01/02 15:04:05.999-07", row[head["time"]])
			if err != nil || at.UnixNano() != l.TimeNS[i] {
				t.Fatalf("%s point %d: time %s, want %s", name, i, l.Clock.Format(l.TimeNS[i]), row[head["time"]])
			}
			for c, cell := range []string{row[head["Y"]], row[head["X"]], motion(row, head, "speed"), motion(row, head, "course"), row[head["ele"]]} {
				want, err := strconv.ParseFloat(cell, 64)
				if err != nil {
					want = math.NaN()
				}
				if got := l.Values[c][i]; got != want && (got == got || want == want) {
					t.Errorf("%s point %d: %s is %v, want %v", name, i, l.Columns[c].Name, got, want)
				}
			}
		}
	}
}

// motion is a field of version 1.0, or what GDAL kept of the extensions.
func motion(row []string, head map[string]int, what string) string {
	if at, ok := head[what]; ok {
		return row[at]
	}
	if m := regexp.MustCompile("<m:" + what + ">(.*?)<").FindStringSubmatch(row[head["m_motion"]]); m != nil {
		return m[1]
	}
	return ""
}
