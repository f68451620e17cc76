package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// heldOut is a day of align's test data.
func heldOut(name string) (flow, pos string) {
	dir := filepath.Join("..", "align", "testdata", name)
	return filepath.Join(dir, "flow.csv.gz"), filepath.Join(dir, "pos.csv.gz")
}

// TestLogJoin: the true offset of this day is +426.894 s (align's days.jsonl),
// its interval 1 s.
func TestLogJoin(t *testing.T) {
	flow, pos := heldOut("work")
	dir := t.TempDir()
	out, plot := filepath.Join(dir, "joined.csv"), filepath.Join(dir, "why.svg")
	status, text, errw := runproof(t, "", "--json", "log", "join", flow, pos, "-o", out, "--plot", plot)
	if status != ExitDone || errw != "" {
		t.Fatalf("%d, %s", status, errw)
	}
	var doc joined
	if err := json.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Runproof != "joined/1" || doc.Forced || math.Abs(doc.OffsetS-426.894) > 1 || len(doc.Inputs) != 2 || doc.Estimate == nil {
		t.Errorf("%+v", doc)
	}
	if doc.Placed == 0 || doc.Placed+doc.Outside+doc.InHoles != doc.Rows {
		t.Errorf("%d rows, %d placed, %d outside, %d in holes", doc.Rows, doc.Placed, doc.Outside, doc.InHoles)
	}
	head, _, _ := strings.Cut(read(t, out), "\n")
	if !strings.HasSuffix(head, ",work,lat,lon,speed") {
		t.Error(head)
	}
	if !strings.HasPrefix(read(t, plot), "<svg") {
		t.Error("no picture")
	}
	again := filepath.Join(dir, "again.csv")
	if runproof(t, "", "log", "join", flow, pos, "-o", again); read(t, again) != read(t, out) {
		t.Error("the same input gave other bytes")
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestLogJoinSaysWhatItRestsOn(t *testing.T) {
	flow, pos := heldOut("lag-known")
	out := filepath.Join(t.TempDir(), "joined.parquet")
	status, text, _ := runproof(t, "", "log", "join", flow, pos, "-o", out)
	if status != ExitDone || !strings.Contains(text, "position log's clock minus the flow log's") || !strings.Contains(text, "the offset is the clock less that lag") {
		t.Errorf("%d, %s", status, text)
	}
	// with the lag the offset is that much more
	_, known, _ := runproof(t, "", "--json", "log", "join", flow, pos, "-o", out, "--lag", "1.5")
	_, bare, _ := runproof(t, "", "--json", "log", "join", flow, pos, "-o", out)
	var a, b joined
	if err := json.Unmarshal([]byte(known), &a); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(bare), &b); err != nil {
		t.Fatal(err)
	}
	if math.Abs(a.OffsetS-b.OffsetS-1.5) > 1e-6 {
		t.Errorf("%+.3f with a lag, %+.3f without", a.OffsetS, b.OffsetS)
	}
}

// TestLogJoinForced: an offset that is given is used as it is, and NMEA lends
// positions: the log's 09:15:20.25 is the receiver's 09:15:30.25.
func TestLogJoinForced(t *testing.T) {
	flow := keep(t, "flow.csv", "time,4103:1\n2026-05-12T09:15:20.25Z,4\n2026-05-12T09:16:00Z,5\n")
	pos := keep(t, "day.nmea", "$GNRMC,091530.00,A,5112.00000,N,10618.00000,W,4.0,90.0,120526,,,A\n$GNRMC,091531.00,A,5112.00000,N,10612.00000,W,4.0,90.0,120526,,,A\n")
	out := filepath.Join(t.TempDir(), "joined.csv")
	status, text, errw := runproof(t, "", "log", "join", flow, pos, "--offset", "10", "-o", out)
	if status != ExitDone || errw != "" || !strings.Contains(text, "offset +10.000 s as given") || !strings.Contains(text, "2 rows, 1 with a position; 1 outside") {
		t.Fatalf("%d, %s%s", status, text, errw)
	}
	want := "time,4103:1,lat,lon,speed,course\n2026-05-12T09:15:20.25Z,4,51.2,-106.275,2.0577777777777779,90\n2026-05-12T09:16:00Z,5,,,,\n"
	if got := read(t, out); strings.ReplaceAll(got, "2.057777777777778,", "2.0577777777777779,") != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	status, _, errw = runproof(t, "", "log", "join", flow, pos, "--offset", "5000", "-o", out)
	if status != ExitAttention || !strings.Contains(errw, "no row got a position") {
		t.Errorf("%d, %s", status, errw)
	}
}

// TestLogJoinUnsure: the positions of another day.
func TestLogJoinUnsure(t *testing.T) {
	flow, _ := heldOut("speed") // has no dates, so that every day is tried
	_, pos := heldOut("work")
	out := filepath.Join(t.TempDir(), "joined.csv")
	status, text, errw := runproof(t, "", "log", "join", flow, pos, "-o", out)
	if status != ExitAttention || !strings.Contains(text, "unsure") {
		t.Errorf("%d, %s%s", status, text, errw)
	}
}

// TestLogJoinOfNothingInCommon: a drill that counts evenly and a machine that
// stands tell nothing of each other: no log is written.
func TestLogJoinOfNothingInCommon(t *testing.T) {
	var flow, pos strings.Builder
	flow.WriteString("time,4103:1\n")
	pos.WriteString("time,lat,lon\n")
	for i := range 600 {
		fmt.Fprintf(&flow, "%d,9\n", i)
		fmt.Fprintf(&pos, "%d,51.2,-106.3\n", i)
	}
	out := filepath.Join(t.TempDir(), "joined.csv")
	status, _, errw := runproof(t, "", "log", "join", keep(t, "flow.csv", flow.String()), keep(t, "pos.csv", pos.String()), "-o", out)
	if status != ExitInput || !strings.Contains(errw, "pos.csv ties the two together, and nothing was written; name the position log of that day, or give the offset with --offset") {
		t.Errorf("%d, %s", status, errw)
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("a log was written")
	}
}

// TestLogJoinBlamesTheLog: a fault stands at the file of the log that it is of.
func TestLogJoinBlamesTheLog(t *testing.T) {
	flow, pos := heldOut("work")
	out := filepath.Join(t.TempDir(), "joined.csv")
	short := keep(t, "short.csv", "time,4103:1,lat,lon\n2026-05-12T09:15:20Z,4,51.2,-106.3\n2026-05-12T09:15:21Z,4,51.2,-106.3\n")
	var many strings.Builder
	many.WriteString("time,4103:1\n")
	for i := range 20 {
		fmt.Fprintf(&many, "2026-05-12T09:15:%02dZ,4\n", 10+i)
	}
	counts := keep(t, "counts.csv", many.String())
	for _, c := range []struct{ flow, pos, want string }{
		{flow, short, "short.csv: the position log is too short to align; "},
		{short, pos, "short.csv: the flow log is too short to align; "},
		{flow, counts, "counts.csv: the position log has neither positions nor speed nor work state; "},
		{pos, flow, "pos.csv.gz: the first log has positions and no counts, and the second has no positions; name the flow log first, the position log second"},
	} {
		status, _, errw := runproof(t, "", "log", "join", c.flow, c.pos, "-o", out)
		if status != ExitInput || !strings.Contains(errw, c.want) {
			t.Errorf("%d, %s, want %q", status, errw, c.want)
		}
	}
}

func TestLogJoinUsage(t *testing.T) {
	flow, pos := heldOut("work")
	out := filepath.Join(t.TempDir(), "joined.csv")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"-", pos, "-o", out}, "both are read twice"},
		{[]string{flow, pos, "-o", out, "--search=-1"}, "--search -1 is out of range"},
		{[]string{flow, pos, "-o", out, "--lag", "99"}, "--lag 99 is out of range"},
		{[]string{flow, pos, "-o", out, "--offset", "1e300"}, "is no time"},
		{[]string{flow, pos, "-o", out, "--offset", "1", "--plot", "x.svg"}, "--offset makes none"},
		{[]string{flow, pos, "--json", "-o", "-"}, "both want standard output"},
		{[]string{flow, "nowhere.nmea", "-o", out}, "nowhere.nmea: "},
	} {
		status, _, errw := runproof(t, "", append([]string{"log", "join"}, c.args...)...)
		if status != ExitInput || !strings.Contains(errw, c.want) {
			t.Errorf("%v: %d, %s", c.args, status, errw)
		}
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("a failed run left a file")
	}
}
