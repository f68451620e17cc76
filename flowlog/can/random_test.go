package can_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"os/exec"
	"strconv"
	"testing"

	"runproof/flowlog"
)

// TestRandomMessages: 34 random messages, 900 random frames (testdata/random, see
// the README there), decoded by plain Python integers and fractions from what
// python-can 4.1 read.
func TestRandomMessages(t *testing.T) {
	db := database(t, "random/messages.dbc")
	texts := map[string][]byte{"log form": file(t, "random/frames.log")}
	if tool, err := exec.LookPath("log2long"); err == nil { // can-utils, where it is installed
		cmd := exec.Command(tool)
		cmd.Stdin = bytes.NewReader(texts["log form"])
		if texts["console form"], err = cmd.Output(); err != nil {
			t.Fatal(err)
		}
	}
	for form, text := range texts {
		l, remarks := read(t, text, db, "")
		if len(remarks) > 0 {
			t.Errorf("%s: %s", form, told(remarks))
		}
		sameAsPython(t, form, l)
	}
}

func sameAsPython(t *testing.T, form string, l *flowlog.Log) {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(file(t, "random/values.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	columns := map[string]int{}
	for c, col := range l.Columns {
		columns[col.Name] = c
	}
	if l.Len() != 900 {
		t.Fatalf("%s: %d records, want 900", form, l.Len())
	}
	reported, near, bad := 0, 0, 0
	for _, row := range rows[1:] {
		n, _ := strconv.Atoi(row[0])
		want, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		c, ok := columns[row[1]]
		if !ok {
			t.Fatalf("%s: no column %s", form, row[1])
		}
		// The reference rounds the exact fraction once. So does the reader, but
		// where raw x factor + offset over one denominator does not fit 53 bits:
		// there each of factor, product and sum may be half a unit of the last
		// place off, and 2^-53 x 4 of the greater part covers them.
		got := l.Values[c][n]
		switch {
		case got == want:
		case math.Abs(got-want) <= 0x1p-51*math.Max(math.Abs(want), 1e6):
			near++
		default:
			if bad++; bad < 10 {
				t.Errorf("%s: frame %d %s: %v, want %v", form, n+1, row[1], got, want)
			}
		}
	}
	for _, v := range l.Values {
		for _, x := range v {
			if x == x {
				reported++
			}
		}
	}
	if reported != len(rows)-1 {
		t.Errorf("%s: %d values, want %d", form, reported, len(rows)-1)
	}
	t.Logf("%s: %d values, %d of them not to the last bit", form, reported, near)
}
