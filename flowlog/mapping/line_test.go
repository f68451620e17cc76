package mapping_test

import (
	"fmt"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/mapping"
)

// Lines of one time make one row, also across the batches that a reader gives;
// a name that comes again begins another, and names that the map does not know
// are told. The counts are their own truth: time and run give them.
func TestLines(t *testing.T) {
	const rows = 9001 // two batches and a bit
	var b strings.Builder
	b.WriteString("t;run;n;v\n")
	for i := range rows {
		for run := 1; run <= 3; run++ {
			fmt.Fprintf(&b, "%d.5;R%d;%d;%d\n", i, run, (7*i+run)%100, i%20)
		}
	}
	fmt.Fprintf(&b, "%d.5;R1;5;1\n%d.5;R1;6;1\n%d.5;R9;1;1\n", rows, rows, rows)
	m := readMap(t, `text: {delimiter: ";"}
time: {columns: t, form: seconds}
line: {name: run, value: n}
columns: [{from: R1, to: "N1:1"}, {from: R2, to: "N1:2"}, {from: R3, to: "-"}, {from: v, to: speed}]
`)
	text, err := mapping.NewText(strings.NewReader(b.String()), "lines.txt", m)
	if err != nil {
		t.Fatal(err)
	}
	l, remarks := throughText(t, text, m)
	if len(l.Columns) != 3 || l.Len() != rows+2 {
		t.Fatalf("%d rows, %v", l.Len(), l.Columns)
	}
	n1, n2, speed := l.Values[columnNamed(t, l, "N1:1")], l.Values[columnNamed(t, l, "N1:2")], l.Values[columnNamed(t, l, "speed")]
	for i := range rows {
		if l.TimeNS[i] != int64(i)*1e9+5e8 || n1[i] != float64((7*i+1)%100) || n2[i] != float64((7*i+2)%100) || speed[i] != float64(i%20) {
			t.Fatalf("row %d: %d %v %v %v", i, l.TimeNS[i], n1[i], n2[i], speed[i])
		}
	}
	if n1[rows] != 5 || n1[rows+1] != 6 || n2[rows] == n2[rows] {
		t.Errorf("R1 twice at one time: %v, R2 %v", n1[rows:], n2[rows:])
	}
	if len(remarks) == 0 || !remarks[0].Lost || !strings.Contains(remarks[0].What, `1 lines tell of what the map does not name, first "R9" in line 27007`) {
		t.Errorf("%+v", remarks)
	}
}

func throughText(t *testing.T, text *mapping.TextReader, m *mapping.Map) (*flowlog.Log, []flowlog.Remark) {
	t.Helper()
	r, err := mapping.Apply(text, m, "lines.txt", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l, flowlog.RemarksOf(r)
}

func columnNamed(t *testing.T, l *flowlog.Log, name string) int {
	t.Helper()
	for c, col := range l.Columns {
		if col.Name == name {
			return c
		}
	}
	t.Fatalf("no column %s", name)
	return 0
}
