package nmea_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"runproof/flowlog"
	"runproof/flowlog/nmea"
)

// read gives the log of a text, and what its reader had to say.
func read(t testing.TB, text string) (*flowlog.Log, []flowlog.Remark) {
	t.Helper()
	r, err := nmea.NewReader(strings.NewReader(text), "x.nmea", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l, r.Remarks()
}

func sampleLines(t testing.TB) []string {
	t.Helper()
	b, err := os.ReadFile("testdata/lines.nmea")
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimRight(string(b), "\r\n"), "\n")
}

// TestTruth: every value of every line of the sample set, as the independent
// decoders gave it (testdata/SOURCE.md). VTG has no time and gets one.
func TestTruth(t *testing.T) {
	f, err := os.Open("testdata/truth.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	lines := sampleLines(t)
	if len(rows)-1 != len(lines) {
		t.Fatalf("%d lines, %d truths", len(lines), len(rows)-1)
	}
	head := map[string]int{}
	for i, n := range rows[0] {
		head[n] = i
	}
	for i, row := range rows[1:] {
		text := lines[i] + "\n"
		if row[head["sentence"]] == "VTG" {
			text = "$GPZDA,000000.00,01,01,2026,00,00\n" + text
		}
		l, remarks := read(t, text)
		if l.Len() != 1 {
			t.Fatalf("line %d: %d records", i+1, l.Len())
		}
		for _, m := range remarks {
			if m.Lost {
				t.Errorf("line %d: %s", i+1, m.What)
			}
		}
		checkTime(t, i+1, row[head["utc"]], l)
		for name, truth := range map[string]string{
			"lat": "lat_deg", "lon": "lon_deg", "speed": "speed_mps", "course": "course_true_deg",
			"gnss.quality": "quality", "gnss.satellites": "satellites", "gnss.hdop": "hdop", "gnss.up_m": "altitude_m",
		} {
			// The truth has 10 digits of a degree and 8 of a speed.
			check(t, i+1, name, row[head[truth]], column(l, name)[0], map[bool]float64{true: 6e-11, false: 6e-9}[strings.HasPrefix(name, "l")])
		}
	}
}

func column(l *flowlog.Log, name string) []float64 {
	for c, col := range l.Columns {
		if col.Name == name {
			return l.Values[c]
		}
	}
	return nil
}

func check(t *testing.T, line int, name, want string, got, tolerance float64) {
	t.Helper()
	v, err := strconv.ParseFloat(want, 64)
	if err != nil {
		v = math.NaN()
	}
	if v != v && got == got || v == v && !(math.Abs(got-v) <= tolerance) {
		t.Errorf("line %d: %s is %v, want %q", line, name, got, want)
	}
}

func checkTime(t *testing.T, line int, want string, l *flowlog.Log) {
	t.Helper()
	if want == "" {
		return
	}
	clock := flowlog.UTC
	if !strings.Contains(want, "T") {
		want, clock = "1970-01-01T"+want+"Z", flowlog.Seconds
	}
	at, err := time.Parse(time.RFC3339Nano, want)
	if err != nil {
		t.Fatal(err)
	}
	if l.TimeNS[0] != at.UnixNano() || l.Clock != clock {
		t.Errorf("line %d: time %s, want %s", line, l.Clock.Format(l.TimeNS[0]), want)
	}
}
