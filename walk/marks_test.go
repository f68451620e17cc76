package walk

import (
	"bytes"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/flowlog"
)

var someRuns = []drill.RunID{"A-1", "A-2", "B-1", "b-1"}

func TestReadMarks(t *testing.T) {
	for _, c := range []struct {
		name, text string
		clock      flowlog.Clock
		want       []Mark
	}{
		{"seconds", "time,run\n41.25,A-1\n-3,A-2\n", flowlog.Seconds, []Mark{{41_250_000_000, "A-1", 2}, {-3_000_000_000, "A-2", 3}}},
		{"RFC 3339, another zone, CRLF, byte-order mark", "\ufefftime,run\r\n1970-01-01T02:00:01.5+02:00,B-1\r\n", flowlog.UTC, []Mark{{1_500_000_000, "B-1", 2}}},
		{"columns in another order, more columns, spaces", "note, Run ,TIME\nhi, A-1 , 7\n\n\"a, b\",A-2,8\n", flowlog.Seconds, []Mark{{7e9, "A-1", 2}, {8e9, "A-2", 4}}},
		{"letter case where no other run is meant", "time,run\n1,a-2\n2,b-1\n", flowlog.Seconds, []Mark{{1e9, "A-2", 2}, {2e9, "b-1", 3}}},
		{"only a head", "time,run\n", flowlog.UTC, nil},
	} {
		m, err := ReadMarks(strings.NewReader(c.text), "m.csv", someRuns)
		if err != nil || m.Clock != c.clock || len(m.Marks) != len(c.want) {
			t.Errorf("%s: %+v %v", c.name, m, err)
			continue
		}
		for i, k := range m.Marks {
			if k != c.want[i] {
				t.Errorf("%s: %+v, want %+v", c.name, k, c.want[i])
			}
		}
	}
}

func TestReadMarksFaults(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "m.csv: the marks file is empty; begin with the line time,run and write one line for each run"},
		{"when,run\n1,A-1\n", `m.csv:1:1: the first line names the columns ["when" "run"], not time and run; begin with the line time,run`},
		{"time,run\nnoon,A-1\n3,A-12\n", "m.csv:2:1: \"noon\" is no time; use RFC 3339 (2026-05-12T09:15:30.2Z) or decimal seconds\nm.csv:3:3: the fit senses no run \"A-12\"; did you mean A-1?"},
		{"time,run\n1,A-1\n2026-05-12T09:15:30Z,A-2\n", "m.csv:3:1: the times of this file are of two forms; write every time in the form of the first line"},
		{"time,run\n5\n", "m.csv:2:1: the line has 1 of the columns time and run; write both time and run"},
		{"time,run\n1,\"A-1\n", "m.csv:2:8: not CSV"},
		{"time,run\n1,Q\n", `m.csv:2:3: the fit senses no run "Q"; use an id of a sensed run, such as A-1`},
	} {
		_, err := ReadMarks(strings.NewReader(c.text), "m.csv", someRuns)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q:\n%v\nwant\n%s", c.text, err, c.want)
		}
	}
	if _, err := ReadMarks(strings.NewReader("time,run\n"+strings.Repeat("x,y\n", 1000)), "m.csv", someRuns); strings.Count(err.Error(), "\n") > 50 {
		t.Error("a thousand faults are told")
	}
}

func FuzzReadMarks(f *testing.F) {
	f.Add([]byte("time,run\n41.25,A-1\n"))
	f.Add([]byte("run,time\nB-1,2026-05-12T09:15:30.2Z\n\"A-2\",x\n"))
	f.Add([]byte("\ufefftime,run\r\n1e300,A-1\r\n\"\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := ReadMarks(bytes.NewReader(b), "m.csv", someRuns)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "m.csv") {
				t.Fatalf("no place: %v", err)
			}
			return
		}
		for _, k := range m.Marks {
			if k.Line < 2 || k.Run == "" {
				t.Fatalf("%+v", k)
			}
		}
	})
}
