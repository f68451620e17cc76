package csv_test

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"runproof/flowlog"
	"runproof/flowlog/csv"
	"runproof/input"
)

func read(t *testing.T, text string) *flowlog.Log {
	t.Helper()
	l, err := tryRead(text)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func tryRead(text string) (*flowlog.Log, error) {
	r, err := csv.NewReader(strings.NewReader(text), "log.csv", nil)
	if err != nil {
		return nil, err
	}
	return flowlog.ReadAll(r)
}

// show writes a log so that tests can compare it: "." is a missing value.
func show(l *flowlog.Log) string {
	var b strings.Builder
	for i, ns := range l.TimeNS {
		b.WriteString(l.Clock.Format(ns))
		for _, v := range l.Values {
			if flowlog.IsMissing(v[i]) {
				b.WriteString(" .")
			} else {
				fmt.Fprintf(&b, " %v", v[i])
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}

func TestReadsWhatItShould(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"as recorders write", "time,4103:1,4103:2\n2026-05-12T09:15:30.2Z,17,21\n2026-05-12T09:15:30.4Z,16,\n", "2026-05-12T09:15:30.2Z 17 21\n2026-05-12T09:15:30.4Z 16 .\n"},
		{"no last line end", "time,1:1\n0,5\n0.2,0", "0 5\n0.2 0\n"},
		{"CR LF", "time,1:1\r\n0,5\r\n0.2,\r\n", "0 5\n0.2 .\n"},
		{"byte order mark", "\ufefftime,1:1\n0,5\n", "0 5\n"},
		{"empty lines", "\ntime,1:1\n\n0,5\n\r\n1,6\n\n", "0 5\n1 6\n"},
		{"quotes", "\"time\",\"1:1\",1:2\n\"0\",\"5\",6\n1,7,\"\"\n", "0 5 6\n1 7 .\n"},
		{"quoted comma and line end in a name", "time,\"a,\"\"b\"\"\nc\",1:1\n0,1,2\n", "0 1 2\n"},
		{"blanks", "time , 1:1,1:2\n 0 , 5,\t6\n1, ,\n", "0 5 6\n1 . .\n"},
		{"time not first", "1:1,time,1:2\n5,0,6\n,1,\n", "0 5 6\n1 . .\n"},
		{"fractions, exponents, signs", "time,1:1,lat,speed\n-1.5,0.25,-33.412345,-1e-1\n2e0,+3,90,.5\n", "-1.5 0.25 -33.412345 -0.1\n2 3 90 0.5\n"},
		{"sixteen digits and more", "time,1:1,x\n0,12345678901234567,0.12345678901234567\n", "0 1.2345678901234568e+16 0.12345678901234566\n"},
		{"states", "time,work,sec:S1\n0,1,true\n1,FALSE,0\n2,,\n", "0 1 1\n1 0 0\n2 . .\n"},
		{"offset from UTC", "time,1:1\n2026-05-12T09:15:30+02:00,1\n", "2026-05-12T07:15:30Z 1\n"},
		{"time alone", "time\n0\n1\n", "0\n1\n"},
	} {
		if got := show(read(t, c.text)); got != c.want {
			t.Errorf("%s: got\n%swant\n%s", c.name, got, c.want)
		}
	}
}

func TestFaultsNamePlaceAndRemedy(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "log.csv: the file is empty"},
		{"head only", "time,1:1\n", "log.csv: the log holds no samples"},
		{"no time", "Timestamp,1:1\n0,1\n", `log.csv:1:1: no column is called time; rename column 1, "Timestamp", if that is it`},
		{"same name twice", "time,1:1,1:1\n0,1,2\n", `log.csv:1:10: columns 2 and 3 are both called "1:1"`},
		{"no name", "time,,1:1\n0,1,2\n", "log.csv:1:6: column 2 has no name"},
		{"semicolons", "time;1:1\n0;1\n", "log.csv:1:1: the columns are not separated by commas"},
		{"UTF-16", "\xff\xfet\x00i\x00m\x00e\x00", "log.csv:1:1: this is no UTF-8 text"},
		{"million columns", "time" + strings.Repeat(",1:1", 1e6) + "\n0\n", "1000001 columns are more than"},
		{"short line", "time,1:1,1:2\n0,1,2\n1,2\n", "log.csv:3: the line has 2 cells, but the head names 3 columns: column 3 (1:2) is missing"},
		{"long line", "time,1:1\n0,1\n1,2,3\n", "log.csv:3:5: the line has more cells than the 2 columns"},
		{"short quoted line", "time,1:1,1:2\n0,\"1\"\n", "log.csv:2: the line has 2 cells, but the head names 3"},
		{"long quoted line", "time,1:1\n0,\"1\",\"2,3\"\n", "log.csv:2:7: the line has more cells"},
		{"negative", "time,1:1\n0,1\n1,-3\n", "log.csv:3:3: column 2 (1:1): the count -3 is negative"},
		{"NaN", "time,1:1\n0,NaN\n", `log.csv:2:3: column 2 (1:1): "NaN" is no number`},
		{"Inf", "time,1:1\n0,-Inf\n", `log.csv:2:3: column 2 (1:1): "-Inf" is no number`},
		{"too great", "time,1:1\n0,1e999\n", `column 2 (1:1): "1e999" is no number`},
		{"hexadecimal", "time,1:1\n0,0x10\n", `"0x10" is no number`},
		{"word", "time,1:1\n0,n/a\n", `"n/a" is no number; write a number, or leave the cell empty`},
		{"decimal comma", "time,1:1\n0,\"3,5\"\n", `"3,5" is no number; write a decimal point`},
		{"latitude", "time,lat\n0,90.1\n", "log.csv:2:3: column 2 (lat): 90.1 is out of range; latitude is -90 to 90"},
		{"longitude", "time,lon\n0,-181\n", "-181 is out of range"},
		{"work", "time,work\n0,2\n", "column 2 (work): 2 is out of range; work is 1 in the ground"},
		{"half work", "time,work\n0,0.5\n", "0.5 is out of range"},
		{"time goes back", "time,1:1\n1,1\n0.5,2\n", "log.csv:3:1: column 1 (time): time goes back from 1 to 0.5"},
		{"time stands", "time,1:1\n2026-05-12T09:15:30Z,1\n2026-05-12T09:15:30.0Z,2\n", "log.csv:3:1: column 1 (time): time 2026-05-12T09:15:30Z comes twice"},
		{"time missing", "time,1:1\n1,1\n,2\n", "log.csv:3:1: column 1 (time): the time is missing"},
		{"no time at all", "time,1:1\nnoon,1\n", `log.csv:2:1: column 1 (time): "noon" is no time`},
		{"mixed times", "time,1:1\n2026-05-12T09:15:30Z,1\n5,1\n", `log.csv:3:1: column 1 (time): "5" is decimal seconds, but the log began with RFC 3339`},
		{"open quote", "time,1:1\n0,\"5\n1,2\n", `log.csv:2:3: a quote is opened and never closed`},
		{"bare quote", "time,1:1\n0,5\"\"\n", "log.csv:2:3: column 2 (1:1): a quote stands inside"},
		{"after a quote", "time,1:1\n0,\"5\"6\"\"\n", "column 2 (1:1): something stands between"},
		{"endless emptiness", "time,1:1\n" + strings.Repeat("\n", 5<<20), "log.csv:4194305: 4194304 empty lines stand before this one"},
		{"endless line", "time,1:1\n0," + strings.Repeat("1", 17<<20), "log.csv:2: the line is longer than 16 MiB"},
	} {
		_, err := tryRead(c.text)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v\nwant %s", c.name, err, c.want)
			continue
		}
		var f input.Fault
		var fs input.Faults
		if !errors.As(err, &f) && !errors.As(err, &fs) {
			t.Errorf("%s: %T is no input fault", c.name, err)
		}
	}
}

func TestSamplesBeforeAFaultAreGiven(t *testing.T) {
	text := "time,1:1\n0,1\n1,2\n2,x\n"
	r, err := csv.NewReader(strings.NewReader(text), "log.csv", nil)
	if err != nil {
		t.Fatal(err)
	}
	var b flowlog.Batch
	if err := r.Read(&b); err != nil || b.Len() != 2 || b.Values[0][1] != 2 {
		t.Errorf("first read: %v, %d samples", err, b.Len())
	}
	for range 2 {
		if err := r.Read(&b); err == nil || b.Len() != 0 {
			t.Errorf("second read: %v, %d samples", err, b.Len())
		}
	}
}

func TestFailingSourceSaysWhatWasRead(t *testing.T) {
	src := io.MultiReader(strings.NewReader("time,1:1\n0,1\n1,2\n2,"), iotest.ErrReader(errors.New("the disk died")))
	r, err := csv.NewReader(src, "log.csv", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if want := "log.csv:4: the disk died; the 2 samples before, to 1, are whole; copy the file again from the recorder"; err == nil || err.Error() != want {
		t.Errorf("got %v, %v\nwant %s", l, err, want)
	}
}

func TestOnlyTheWantedColumns(t *testing.T) {
	text := "time,note,1:1,1:2\n0,all well,1,2\n1,\"hm, \"\"so\"\"\",3,4\n"
	r, err := csv.NewReader(strings.NewReader(text), "log.csv", func(c flowlog.Column) bool { return c.Name == "1:2" })
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil || len(l.Columns) != 1 || show(l) != "0 2\n1 4\n" {
		t.Errorf("got %v, %v", l, err)
	}
}

func TestManyBatches(t *testing.T) {
	var text strings.Builder
	text.WriteString("time,1:1,1:2\n")
	const n = 50000
	for i := range n {
		fmt.Fprintf(&text, "%d.5,%d,\n", i, i%97)
	}
	// A reader that hands out odd pieces must not matter.
	r, err := csv.NewReader(iotest.HalfReader(strings.NewReader(text.String())), "log.csv", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil || l.Len() != n {
		t.Fatalf("%d samples, %v", l.Len(), err)
	}
	for i, ns := range l.TimeNS {
		if ns != int64(i)*1e9+5e8 || l.Values[0][i] != float64(i%97) || !math.IsNaN(l.Values[1][i]) {
			t.Fatalf("sample %d: %d %v %v", i, ns, l.Values[0][i], l.Values[1][i])
		}
	}
}
