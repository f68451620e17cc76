package csv_test

import (
	stdcsv "encoding/csv"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/csv"
	"runproof/input"
)

// twin reads a log the slow and obvious way: encoding/csv cuts, strconv parses,
// and every rule is asked in turn.
func twin(text string) (*flowlog.Log, bool) {
	records, err := stdcsv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff"))).ReadAll()
	if err != nil || len(records) < 2 {
		return nil, false
	}
	trimmed(records)
	timeAt, columns, err := flowlog.ReadHead(records[0], func(int) input.Place { return input.Place{} })
	if err != nil || len(records[0]) == 1 && strings.ContainsAny(records[0][0], ";\t") {
		return nil, false
	}
	l := &flowlog.Log{Schema: flowlog.Schema{Columns: columns}}
	l.Reset(len(columns))
	for i, rec := range records[1:] {
		ns, clock, err := flowlog.ParseTime(rec[timeAt])
		if err != nil || i > 0 && (clock != l.Clock || ns <= l.TimeNS[i-1]) {
			return nil, false
		}
		l.Clock = clock
		l.TimeNS = append(l.TimeNS, ns)
		cells := append(append([]string{}, rec[:timeAt]...), rec[timeAt+1:]...)
		for c, cell := range cells {
			v, ok := slowValue(strings.Trim(cell, " \t"), columns[c].Kind)
			if !ok {
				return nil, false
			}
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l, true
}

// trimmed takes off blanks, as the grammar allows around cells.
func trimmed(records [][]string) {
	for _, rec := range records {
		for i := range rec {
			rec[i] = strings.Trim(rec[i], " \t")
		}
	}
}

func slowValue(cell string, k flowlog.Kind) (float64, bool) {
	if cell == "" {
		return math.NaN(), true
	}
	if k == flowlog.Work || k == flowlog.Section {
		switch strings.ToLower(cell) {
		case "true":
			return 1, true
		case "false":
			return 0, true
		}
	}
	v, err := strconv.ParseFloat(cell, 64)
	return v + 0, err == nil && !strings.ContainsAny(cell, "xXpP_nNiI") && k.Check(v) == nil
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"time,4103:1,4103:2\n2026-05-12T09:15:30.2Z,17,21\n2026-05-12T09:15:30.4Z,16,\n",
		"\ufefftime,lat,lon,work,sec:S1\r\n-1.5,51.2,-106.3,1,true\r\n2e0,,,0,\r\n",
		"1:1,\"time\",\"a,\"\"b\"\n5,\"0\",1e3\n\n,1,-2.5\n",
		"time,1:1\n0,123456789012345678\n1,0.1234567890123456789\n2,007\n3,.5\n4,5.\n5,+1\n",
		"time,1:1\n0,-0\n1, 5 \n2,\"6\"\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		text := string(b)
		got, err := tryRead(text)
		if err != nil {
			var fault input.Fault
			var faults input.Faults
			if !errors.As(err, &fault) && !errors.As(err, &faults) {
				t.Fatalf("%T is no fault: %v", err, err)
			}
		}
		// The twin knows less of quotes: it makes LF of CR LF inside them, and
		// takes blanks off quoted names, too. It does not look for NUL.
		if strings.ContainsAny(text, "\"\x00") && (strings.ContainsAny(text, "\r\x00") || strings.Contains(text, `" `) || strings.Contains(text, ` "`) || strings.Contains(text, "\t")) {
			return
		}
		want, ok := twin(text)
		if ok != (err == nil) {
			t.Fatalf("the twin says %v, we say %v\n%q", ok, err, text)
		}
		if ok && (show(got) != show(want) || got.Clock != want.Clock) {
			t.Fatalf("got\n%swant\n%s", show(got), show(want))
		}
	})
}

// The same text in odd pieces gives the same log and the same fault.
func FuzzPieces(f *testing.F) {
	f.Add([]byte("time,1:1\n0,1\n\"1\",\"2\"\n2,x\n"), uint8(3))
	f.Add([]byte("time,\"a\nb\"\n0,1\n"), uint8(1))
	f.Fuzz(func(t *testing.T, b []byte, size uint8) {
		whole, wholeErr := tryRead(string(b))
		var log *flowlog.Log
		r, err := csv.NewReader(&pieces{b, int(size)%7 + 1}, "log.csv", nil)
		if err == nil {
			log, err = flowlog.ReadAll(r)
		}
		if (err == nil) != (wholeErr == nil) || err != nil && err.Error() != wholeErr.Error() {
			t.Fatalf("%v, in one piece %v", err, wholeErr)
		}
		if err == nil && show(log) != show(whole) {
			t.Fatalf("got\n%sin one piece\n%s", show(log), show(whole))
		}
	})
}

// pieces gives b in pieces of size bytes.
type pieces struct {
	b    []byte
	size int
}

func (p *pieces) Read(b []byte) (int, error) {
	if len(p.b) == 0 {
		return 0, io.EOF
	}
	n := copy(b, p.b[:min(len(p.b), p.size)])
	p.b = p.b[n:]
	return n, nil
}
