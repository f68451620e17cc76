package can_test

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/can"
)

// FuzzReadDBC: any bytes give a database that keeps its rules, or faults with
// their places.
func FuzzReadDBC(f *testing.F) {
	for _, name := range []string{"sample/runcounts.dbc", "sample/runcounts-pgn.dbc", "random/messages.dbc"} {
		f.Add(file(f, name))
	}
	for _, s := range []string{
		small,
		"BO_ 256 M: 8 N\n SG_ A m0M : 0|8@1+ (1,0) [0|0] \"\" N\n SG_ B m0M : 0|8@0- (1,0) [0|0] \"\" N\nSG_MUL_VAL_ 256 A B 0-0;\nSG_MUL_VAL_ 256 B A 0-18446744073709551615;\n",
		"BO_ 256 M: 99999999999999999999 N\n SG_ A : 18446744073709551615|18446744073709551615@1+ (1e308,-1e308) [-0|-0] \"\" N\n",
		"NS_ :\n\tBA_\nBA_DEF_ BO_ \"VFrameFormat\" ENUM \"a\";\nBA_ \"VFrameFormat\" BO_ 256 9;\nCM_ \"\\\";\n",
		"BO_ 3221225472 V: 0 X\n SG_ A : 0|1@1+ (1,0) [0|0] \"\xb0\" N\nSIG_VALTYPE_ 3221225472 A : 2;\n",
	} {
		f.Add([]byte(s))
	}
	frames := file(f, "sample/runcounts.log")[:3000]
	f.Fuzz(func(t *testing.T, b []byte) {
		db, err := can.ReadDBC(bytes.NewReader(b), "x.dbc")
		if err != nil {
			checkFault(t, err)
			return
		}
		for _, m := range db.Messages {
			if m.Name == "" || m.ID > 0x1fffffff || !m.Is29Bit && m.ID > 0x7ff {
				t.Fatalf("%+v", m)
			}
			for _, s := range m.Signals {
				if s.Bits < 1 || s.Start < 0 || s.Factor != s.Factor {
					t.Fatalf("%+v", s)
				}
			}
		}
		checkReading(t, frames, db)
	})
}

// FuzzRead: any bytes, read with a DBC that has every kind of signal, give a log
// that keeps the rules of logs, or a fault with its place. Read as a stream, they
// give the same.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"sample/runcounts.log", "console.txt", "random/frames.log"} {
		f.Add(file(f, name)[:3000])
	}
	for _, s := range []string{
		"(1) can0 100#01\n(0.5) can0 100#02\r\n(0.5) can1 100##00102\n",
		" (2026-05-12 09:15:30.003000)  can0  100   [2]  01 02   '..'\n",
		"  can0  100   [1]  01\n  can0  RX B E  100  [01]  01\n\tdetail\nDROPCOUNT: dropped\n",
		"(9223372035.999999999) can0 100#R8\n(0) x 20000080#00",
		"(1) can0 201##3" + strings.Repeat("5A", 64) + "\n(1) can0 18EF9103#05\n(1) can0 0CEFFF04#06 T\n",
	} {
		f.Add([]byte(s))
	}
	databases := []*can.Database{smallDB(f), database(f, "random/messages.dbc"), database(f, "sample/runcounts-pgn.dbc")}
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, db := range databases {
			whole := checkReading(t, b, db)
			r, err := can.NewReader(can.Source{Name: "x.log", Stream: bytes.NewReader(b)}, db, nil)
			if err != nil {
				if whole != nil {
					t.Fatalf("as a stream: %v", err)
				}
				continue
			}
			l, err := flowlog.ReadAll(r)
			if (err == nil) != (whole != nil) || err == nil && rows(l) != rows(whole) {
				t.Fatalf("as a stream it is another log: %v", err)
			}
		}
	})
}

// checkReading gives the log, nil where there is none.
func checkReading(t *testing.T, text []byte, db *can.Database) *flowlog.Log {
	t.Helper()
	r, err := can.NewReader(can.Source{Name: "x.log", Stream: bytes.NewReader(text), Scan: bytes.NewReader(text)}, db, nil)
	if err != nil {
		checkFault(t, err)
		return nil
	}
	l := &flowlog.Log{Schema: r.Schema()}
	l.Reset(len(l.Columns))
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			checkFault(t, err)
			return nil
		}
		if b.Len() == 0 {
			t.Fatal("an empty batch and no error")
		}
		l.TimeNS = append(l.TimeNS, b.TimeNS...)
		for c := range b.Values {
			l.Values[c] = append(l.Values[c], b.Values[c]...)
		}
	}
	for i := 1; i < l.Len(); i++ {
		if l.TimeNS[i] <= l.TimeNS[i-1] {
			t.Fatalf("time %d after %d", l.TimeNS[i], l.TimeNS[i-1])
		}
	}
	for c, v := range l.Values {
		for _, x := range v {
			if x == x && l.Columns[c].Kind.Check(x) != nil {
				t.Fatalf("%v in %s", x, l.Columns[c].Name)
			}
		}
	}
	r.Remarks()
	return l
}
