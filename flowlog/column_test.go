package flowlog_test

import (
	"math"
	"strings"
	"testing"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
)

func TestColumnNamed(t *testing.T) {
	for name, want := range map[string]flowlog.Column{
		"4103:7":    {Kind: flowlog.Port, Port: fit.PortRef{Node: "4103", Port: 7}},
		"a:b:12":    {Kind: flowlog.Port, Port: fit.PortRef{Node: "a:b", Port: 12}},
		"4103:0":    {},
		"4103:07":   {}, // would not be written back as it was
		"4103:-1":   {},
		"4103:1.5":  {},
		":1":        {},
		"4103:":     {},
		"lat":       {Kind: flowlog.Lat},
		"lon":       {Kind: flowlog.Lon},
		"speed":     {Kind: flowlog.Speed},
		"course":    {Kind: flowlog.Course},
		"work":      {Kind: flowlog.Work},
		"Work":      {},
		"sec:S1":    {Kind: flowlog.Section, Section: "S1"},
		"sec:3":     {Kind: flowlog.Section, Section: "3"},
		"sec:":      {},
		"008D:DET1": {},
	} {
		want.Name = name
		if got := flowlog.ColumnNamed(name); got != want {
			t.Errorf("%s: %+v, want %+v", name, got, want)
		}
	}
}

// Check and FirstBad are the same rule.
func TestCheckAndFirstBadAgree(t *testing.T) {
	values := []float64{0, 1, 0.5, -1, 90, 91, -90.5, 180, -180, 181, 360, 361, 101, 1e300, math.NaN(), math.Inf(1), math.Inf(-1)}
	for k := flowlog.Other; k <= flowlog.Section; k++ {
		for _, v := range values {
			err := k.Check(v)
			if bad := k.FirstBad([]float64{0, v}) == 1; bad != (err != nil) {
				t.Errorf("kind %d, %v: Check says %v, FirstBad %v", k, v, err, bad)
			}
			if err != nil && (err.(input.Fault).What == "" || err.(input.Fault).Remedy == "") {
				t.Errorf("kind %d, %v: %+v", k, v, err)
			}
		}
		if got := k.FirstBad(nil); got != -1 {
			t.Errorf("kind %d: %d", k, got)
		}
	}
	if err := flowlog.Port.Check(-3); !strings.HasPrefix(err.Error(), "the count -3 is negative; ") {
		t.Error(err)
	}
}

func TestReadHeadFindsAllFaultsAtOnce(t *testing.T) {
	_, _, err := flowlog.ReadHead([]string{"when", "1:1", "", "1:1"}, func(i int) input.Place { return input.Place{File: "x", Line: 1, Col: i + 1} })
	want := "x:1:3: column 3 has no name; name it, or take it out\n" +
		`x:1:4: columns 2 and 4 are both called "1:1"; give each column a name of its own` + "\n" +
		"x:1:1: no column is called time; give the column of times, RFC 3339 or decimal seconds, that name; or read the file through a map, which runproof log map proposes"
	if err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
}

func TestLogFindsItsColumns(t *testing.T) {
	l := long(3)
	if l.Port(fit.PortRef{Node: "1", Port: 1}) == nil || l.Port(fit.PortRef{Node: "1", Port: 2}) != nil {
		t.Error("port")
	}
	if l.Column(flowlog.Work) == nil || l.Column(flowlog.Lat) != nil {
		t.Error("column")
	}
	if got := flowlog.IntervalS(l.TimeNS); got != 0.1 {
		t.Errorf("interval %g", got)
	}
}
