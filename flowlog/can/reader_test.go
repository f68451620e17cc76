package can_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/can"
)

// small is a DBC of a message of 11 bits, one by J1939 group (PDU1 and PDU2) and
// one with a switch.
const small = `BO_ 256 Std: 8 N
 SG_ A : 0|8@1+ (1,0) [0|0] "" N
 SG_ B : 8|16@1+ (0.5,0) [0|0] "" N
 SG_ Z : 56|8@1+ (1,0) [0|0] "" N
BO_ 2566865150 Wide: 8 N
 SG_ W : 0|16@1+ (1,0) [0|64255] "" N
 SG_ V : 16|16@1+ (1,0) [0|65535] "" N
BO_ 2565800190 To: 8 N
 SG_ T : 0|8@1+ (1,0) [0|0] "" N
BO_ 512 Switched: 8 N
 SG_ S M : 0|8@1+ (1,0) [0|0] "" N
 SG_ Near m1 : 8|8@1+ (1,0) [0|0] "" N
 SG_ Far m2 : 56|8@1+ (1,0) [0|0] "" N
BO_ 513 Long: 64 N
 SG_ Last : 504|8@1+ (1,0) [0|0] "" N
 SG_ Number : 0|200@1+ (1,0) [0|0] "" N
BA_DEF_ BO_ "VFrameFormat" ENUM "StandardCAN","ExtendedCAN","reserved","J1939PG";
BA_ "VFrameFormat" BO_ 2566865150 3;
BA_ "VFrameFormat" BO_ 2565800190 3;
`

func smallDB(t testing.TB) *can.Database {
	t.Helper()
	db, err := readDBC(small)
	if err != nil {
		t.Fatal(err)
	}
	return db
}

// rows writes a log as text, a record a line: its time and what it reports.
func rows(l *flowlog.Log) string {
	var b strings.Builder
	for i, ns := range l.TimeNS {
		b.WriteString(l.Clock.Format(ns))
		for c, col := range l.Columns {
			if v := l.Values[c][i]; v == v {
				fmt.Fprintf(&b, " %s=%v", col.Name, v)
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func TestRecordings(t *testing.T) {
	for _, c := range []struct{ name, text, want, told string }{
		{
			"one frame", "(1778577330.2) can0 100#0102030000000009\n",
			"2026-05-12T09:15:30.2Z Std.A=1 Std.B=385 Std.Z=9\n", "",
		},
		{
			"29 bits are not 11", "(1778577330) can0 100#0102030000000009\n(1778577331) can0 00000100#0102030000000009\n",
			"2026-05-12T09:15:30Z Std.A=1 Std.B=385 Std.Z=9\n", "1 frame left out: not in the DBC, with 1 id: 00000100 (1)",
		},
		{
			"time counts from a start", "(000.000000) can0 100#01\n(000.200000) can0 100#02\n(000.400000) can0 100#03\n",
			"0 Std.A=1\n0.2 Std.A=2\n0.4 Std.A=3\n",
			"2 signals of Std reach beyond its frames of 1 bytes, or are no numbers of up to 64 bits: B, Z\ntimes count from the start of the recording; no date is known",
		},
		{
			"time counts from the frame before", " (000.000000)  can0  100   [1]  01\n (000.100000)  can0  7FF   [0]\n (000.100000)  can0  100   [1]  02\n (000.050000)  can0  100   [1]  03\n (000.200000)  can0  100   [1]  04\n (000.010000)  can0  100   [1]  05\n",
			"0 Std.A=1\n0.2 Std.A=2\n0.25 Std.A=3\n0.45 Std.A=4\n0.46 Std.A=5\n",
			"2 signals of Std reach beyond its frames of 1 bytes, or are no numbers of up to 64 bits: B, Z\n1 frame left out: not in the DBC, with 1 id: 7FF (1)\n" +
				"each time counts from the frame before; they are added up, and no date is known",
		},
		{
			"dates", " (2026-05-12 09:15:30.003000)  can0  200   [2]  01 07\n",
			"2026-05-12T09:15:30.003Z Switched.S=1 Switched.Near=7\n",
			"1 signal of Switched reach beyond its frames of 2 bytes, or are no numbers of up to 64 bits: Far\n" +
				"times are dates of the recorder's own zone, which is not told; they are written as if it were UTC",
		},
		{
			"equal times", "(1778577330) can0 200#01070000000000FF\n(1778577330) can0 200#02070000000000FF\n",
			"2026-05-12T09:15:30Z Switched.S=1 Switched.Near=7\n2026-05-12T09:15:30.001Z Switched.S=2 Switched.Far=255\n",
			"1 record with the time of the one before, written 1 ms later",
		},
		{
			"groups: any priority, any destination, each source its column",
			"(1778577330) can0 18EF9103#05\n(1778577331) can0 0CEFFF03#06\n(1778577332) can0 18EFFF04#07\n",
			"2026-05-12T09:15:30Z To.T@03=5\n2026-05-12T09:15:31Z To.T@03=6\n2026-05-12T09:15:32Z To.T@04=7\n", "",
		},
		{
			"a shorter frame is damaged, unless its own switch needs no more",
			"(1778577330) can0 200#02000000000000FF\n(1778577331) can0 200#0207\n(1778577332) can0 200#0107\n(1778577333) can0 200#03\n",
			"2026-05-12T09:15:30Z Switched.S=2 Switched.Far=255\n2026-05-12T09:15:32Z Switched.S=1 Switched.Near=7\n2026-05-12T09:15:33Z Switched.S=3\n",
			"lost: 1 frame of Switched left out: too short for the message",
		},
		{
			"error or not available: only where the DBC's range leaves it out",
			"(1778577330) can0 18FF4091#FFFFFFFF00000000\n(1778577331) can0 0CFF4091#00FAFFFE00000000\n(1778577332) can0 18FF4091#FFFE00FE00000000\n",
			"2026-05-12T09:15:30Z Wide.V=65535\n2026-05-12T09:15:31Z Wide.W=64000 Wide.V=65279\n2026-05-12T09:15:32Z Wide.V=65024\n",
			"2 values left empty: J1939 calls them error or not available, and the DBC's range leaves them out",
		},
		{
			"FD to its last byte", "(1778577330) can0 201##1" + strings.Repeat("00", 63) + "2A\n",
			"2026-05-12T09:15:30Z Long.Last=42\n", "1 signal of Long reach beyond its frames of 64 bytes, or are no numbers of up to 64 bits: Number",
		},
		{
			"strange lines", "candump 1.0\n(1778577330) can0 100#0102030000000009\n(1778577331) can0 100#01020300000000\x00\n\n" + strings.Repeat("x", 10000) + "\n(1778577332) can0 100#010203000000",
			"2026-05-12T09:15:30Z Std.A=1 Std.B=385 Std.Z=9\n",
			"lost: the last line, 6, breaks off and is left out\nlost: 3 lines left out: no CAN frames; the first is line 1",
		},
		{
			"some frames without a time", "can0  100   [1]  01\n (1778577330)  can0  100   [1]  02\n",
			"2026-05-12T09:15:30Z Std.A=2\n",
			"lost: 1 frame left out: without a time\n2 signals of Std reach beyond its frames of 1 bytes, or are no numbers of up to 64 bits: B, Z",
		},
	} {
		r, err := can.NewReader(can.Source{Name: "x.log", Stream: strings.NewReader(c.text), Scan: strings.NewReader(c.text)}, smallDB(t), nil)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		l, err := flowlog.ReadAll(r)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := rows(l); got != c.want {
			t.Errorf("%s:\n%swant\n%s", c.name, got, c.want)
		}
		if got := told(r.Remarks()); got != c.told {
			t.Errorf("%s: told\n%s\nwant\n%s", c.name, got, c.told)
		}
	}
}

func TestRecordingsThatCannotBeRead(t *testing.T) {
	for _, c := range []struct{ name, text, bus, want string }{
		{"nothing", "", "", "x.log: no line of it is a CAN frame; record with candump -l"},
		{"something else", "time,4103:1\n1,2\n", "", "x.log: no line of it is a CAN frame"},
		{"no time", "  can0  100   [1]  01\n  can0  100   [1]  02\n", "", "x.log: its frames carry no time; record with candump -l, or with candump -t a"},
		{"another bus's DBC", "(1) can0 7E8#01\n(1) can0 7E8#01\n(2) can0 7E0#01\n", "", "x.log: none of its frames is in the DBC; it has 7E8 (2), 7E0 (1); name the DBC that belongs to this bus"},
		{"no such bus", "(1) can0 100#01\n", "can1", "x.log: it has no frames of interface can1; did you mean can0?"},
		{"a bus of strangers", "(1) can0 100#01\n(1) can1 7E8#01\n", "can1", "none of its frames is in the DBC; it has 7E8 (1)"},
		{"errors only", "(1) can0 20000080#0000000000000000\n", "", "none of its frames is in the DBC; name"},
	} {
		_, err := can.NewReader(can.Source{Name: "x.log", Stream: strings.NewReader(c.text), Scan: strings.NewReader(c.text), Bus: c.bus}, smallDB(t), nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
			continue
		}
		checkFault(t, err)
	}
}

// breaking is a stream that fails behind its text.
type breaking struct {
	io.Reader
	err error
}

func (b breaking) Read(p []byte) (int, error) {
	n, err := b.Reader.Read(p)
	if errors.Is(err, io.EOF) {
		err = b.err
	}
	return n, err
}

func TestSourceThatFails(t *testing.T) {
	text := "(1778577330) can0 100#0102030000000009\n(1778577331) can0 100#01020300000"
	failing := func() io.Reader { return breaking{strings.NewReader(text), errors.New("the disk is gone")} }
	for _, scan := range []io.Reader{failing(), nil} {
		r, err := can.NewReader(can.Source{Name: "x.log", Stream: failing(), Scan: scan}, smallDB(t), nil)
		if err != nil {
			t.Fatal(err)
		}
		l, err := flowlog.ReadAll(r)
		if err != nil || l.Len() != 1 {
			t.Fatal(l, err)
		}
		want := "lost: the recording breaks off behind line 2: the disk is gone; the 1 records before, to 2026-05-12T09:15:30Z, are kept\nlost: the last line, 2, breaks off and is left out"
		if got := told(r.Remarks()); got != want {
			t.Errorf("got\n%s\nwant\n%s", got, want)
		}
	}
	text = "(1778577330) can0 100"
	if _, err := can.NewReader(can.Source{Name: "x.log", Stream: failing()}, smallDB(t), nil); err == nil {
		t.Error("half a frame was read")
	}
}

// A stream that can be read once only: what comes up behind the first 4 MiB has no
// column, and that is told.
func TestBareStream(t *testing.T) {
	var text bytes.Buffer
	n := 0
	for ; text.Len() < 5<<20; n++ {
		fmt.Fprintf(&text, "(%d.0) can0 100#0102030000000009\n", 1778577330+n)
	}
	fmt.Fprintf(&text, "(%d.0) can0 18FF4091#0100020000000000\n(%d.0) can0 7E8#00\n", 1778577330+n, 1778577331+n)
	r, err := can.NewReader(can.Source{Name: "-", Stream: &text}, smallDB(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil || l.Len() != n || len(l.Columns) != 3 {
		t.Fatalf("%d records, want %d, %d columns, %v", l.Len(), n, len(l.Columns), err)
	}
	want := "lost: 1 frame left out: of messages that do not occur in the first 4 MiB, which was all that could be looked through; save the recording as a file first\n1 frame more left out: not in the DBC"
	if got := told(r.Remarks()); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// Columns that nobody wants change nothing but that they are not there.
func TestKeep(t *testing.T) {
	text, db := file(t, "sample/runcounts.log"), database(t, "sample/runcounts-pgn.dbc")
	all, _ := read(t, text, db, "can0")
	wanted := func(c flowlog.Column) bool { return strings.Contains(c.Name, "Run0") }
	r, err := can.NewReader(can.Source{Name: "x.log", Stream: bytes.NewReader(text), Scan: bytes.NewReader(text), Bus: "can0"}, db, wanted)
	if err != nil {
		t.Fatal(err)
	}
	few, err := flowlog.ReadAll(r)
	if err != nil || few.Len() != all.Len() || len(few.Columns) != 18 {
		t.Fatalf("%d records, want %d, %d columns, %v", few.Len(), all.Len(), len(few.Columns), err)
	}
	want := map[cell]float64{}
	for k, v := range cells(all) {
		if strings.Contains(k.column, "Run0") {
			want[k] = v
		}
	}
	same(t, "kept", cells(few), want)
}

// A recording cut anywhere gives the whole frames before the cut.
func TestCutAnywhere(t *testing.T) {
	for _, name := range []string{"sample/runcounts.log", "console.txt", "random/frames.log"} {
		text := file(t, name)
		db := database(t, map[bool]string{true: "random/messages.dbc", false: "sample/runcounts.dbc"}[strings.HasPrefix(name, "random")])
		whole, _ := read(t, text, db, "")
		want := cells(whole)
		for n := 0; n < len(text); n += max(len(text)/211, 1) {
			r, err := can.NewReader(can.Source{Name: "x.log", Stream: bytes.NewReader(text[:n]), Scan: bytes.NewReader(text[:n])}, db, nil)
			if err != nil {
				checkFault(t, err)
				if n > 500 {
					t.Errorf("%s cut at %d: %v", name, n, err)
				}
				continue
			}
			l, err := flowlog.ReadAll(r)
			if err != nil {
				checkFault(t, err)
				continue
			}
			lines := bytes.Count(text[:n], []byte("\n"))
			if l.Len() > lines+1 || l.Len() < lines-8 {
				t.Errorf("%s cut at %d: %d records of %d lines", name, n, l.Len(), lines)
			}
			if last := l.TimeNS[l.Len()-1]; last != whole.TimeNS[l.Len()-1] {
				t.Errorf("%s cut at %d: other times", name, n)
			}
			cutCells(t, l, want)
		}
	}
}

// cutCells: a message has no source behind its name while only one is seen.
func cutCells(t *testing.T, l *flowlog.Log, want map[cell]float64) {
	t.Helper()
	for k, v := range cells(l) {
		ok := false
		for _, suffix := range []string{"", "@03", "@91", "@A7", "@44"} {
			if w, has := want[cell{k.column + suffix, k.ns}]; has && w == v {
				ok = true
			}
		}
		if !ok {
			t.Fatalf("%s at %d: %v is not in the whole", k.column, k.ns, v)
		}
	}
}

// What a long recording allocates is what a short one does.
func TestMemoryDoesNotGrow(t *testing.T) {
	db := database(t, "sample/runcounts.dbc")
	allocated := func(text []byte) uint64 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		r, err := can.NewReader(can.Source{Name: "x.log", Stream: bytes.NewReader(text), Scan: bytes.NewReader(text)}, db, nil)
		if err != nil {
			t.Fatal(err)
		}
		var b flowlog.Batch
		for err == nil {
			err = r.Read(&b)
		}
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc
	}
	few, many := allocated(days(t, 5)), allocated(days(t, 50))
	if many > few+few/10 {
		t.Errorf("%d bytes for 5 times the sample, %d for 50 times", few, many)
	}
}

func TestOwns(t *testing.T) {
	for _, c := range []struct {
		head string
		want bool
	}{
		{string(file(t, "sample/runcounts.log")[:1024]), true},
		{string(file(t, "console.txt")[:1024]), true},
		{"(1778577330.003000) can0 18FF4091#E8", true},
		{"  can0  123   [2]  01 02\r\n", true},
		{"Enabling Logfile 'x'\n\n(1778577330.003000) can0 18FF4091#E8\n", true},
		{"", false},
		{"time,4103:1\n2026-05-12T09:15:30Z,3\n", false},
		{"$GPGGA,235959.80,3324.74070,S,12007.40736,E,1,09,1.2,301.5,M,-29.8,M,,*5B\n", false},
		{"BO_ 256 M: 8 N\n", false},
		{"PAR1\x00\x00", false},
	} {
		if got := can.Owns([]byte(c.head)); got != c.want {
			t.Errorf("%.60q: %v", c.head, got)
		}
	}
}
