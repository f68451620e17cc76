package mapping_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/flowlog"
	"runproof/flowlog/mapping"
	"runproof/input"
)

func readMap(t testing.TB, text string) *mapping.Map {
	t.Helper()
	m, err := mapping.Read(strings.NewReader("runproof: mapping/1\n"+text), "map.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// through reads a log through a map.
func through(t testing.TB, l *flowlog.Log, m *mapping.Map) (*flowlog.Log, []flowlog.Remark) {
	t.Helper()
	r, err := mapping.Apply(l.NewReader(100), m, "log", nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return got, flowlog.RemarksOf(r)
}

func logOf(stepMS int64, columns []string, rows ...[]float64) *flowlog.Log {
	l := &flowlog.Log{}
	for _, c := range columns {
		l.Columns = append(l.Columns, flowlog.Column{Name: c})
	}
	l.Reset(len(columns))
	for i, row := range rows {
		l.TimeNS = append(l.TimeNS, 1778577330e9+int64(i)*stepMS*1e6)
		for c, v := range row {
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l
}

var nan = math.NaN()

func same(a, b float64) bool { return a == b || a != a && b != b }

func TestApply(t *testing.T) {
	l := logOf(200, []string{"v", "c", "w", "y", "x", "junk", "r"},
		[]float64{36, 250, 3, 5112.3, 1, 9, 10},
		[]float64{nan, 2, 1, 512000000, 1, 9, 20},
		[]float64{400, 2, nan, -1800, 1, 9, 30})
	got, remarks := through(t, l, readMap(t, `columns:
  - {from: v, to: speed, unit: km/h}
  - {from: c, to: "N1:1", counts: running, wraps_at: 256}
  - {from: w, to: work, on: [3]}
  - {from: y, to: lat, unit: ddmm.mmmm}
  - {from: junk, to: "-"}
  - {from: r, to: "N1:2", counts: per_second, scale: 0.1, missing: [30]}
  - {from: gone, to: lon}
`))
	want := map[string][]float64{
		"speed": {10, nan, nan}, // 400 km/h is no speed
		"N1:1":  {nan, 8, 0},
		"work":  {1, 0, nan},
		"lat":   {51.205, nan, -18},
		"x":     {1, 1, 1},
		"N1:2":  {nan, 0.4, nan},
	}
	if len(got.Columns) != len(want) {
		t.Errorf("columns %v", got.Columns)
	}
	for c, col := range got.Columns {
		for i, v := range got.Values[c] {
			if w := want[col.Name][i]; !same(v, w) && math.Abs(v-w) > 1e-12 {
				t.Errorf("%s row %d: %v, want %v", col.Name, i, v, w)
			}
		}
	}
	if len(remarks) != 3 || !remarks[0].Lost || !strings.Contains(remarks[0].What, "gone") || !strings.Contains(remarks[1].What, "1 of 2 values cannot be speed") {
		t.Errorf("%+v", remarks)
	}
}

func TestFaultsOfAMap(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"columns: [{from: a, to: speed, counts: running}]", `map.yaml:2:40: "speed" is no port, so it counts nothing`},
		{"columns: [{from: a, to: 'N1:1', wraps_at: 256}]", "only a running count wraps; write counts: running"},
		{"columns: [{from: a, to: lat, unit: km/h}]", `km/h is no unit of "lat"`},
		{"columns: [{from: a, to: speed, unit: kmh}]", `"kmh" is not among the words for this; did you mean km/h?`},
		{"columns: [{from: a, to: 'N1:1', counts: runing}]", "did you mean running?"},
		{"columns: [{from: a, to: 'N1:1'}, {from: a, to: 'N1:2'}]", `column "a" is named twice`},
		{"columns: [{from: a, to: 'N1:1'}, {from: b, to: 'N1:1'}]", `columns "a" and "b" both become "N1:1"`},
		{"columns: [{from: a, to: time}]", "time is no column of values"},
		{"columns: [{from: a, to: speed, on: ['1']}]", "has no state that could be on"},
		{"columns: [{from: a, too: speed}]", "did you mean to?"},
		{"time: {form: YYYY-MM-DD, columns: t}", "leaves out what a time needs"},
		{"time: {form: seconds, zone: Europe/Berlin}", "form seconds is not in local time"},
		{"time: {form: 'hh:mm:ss', zone: Berlin}", `there is no time zone "Berlin"`},
		{"text: {delimiter: ':'}", `":" is no delimiter`},
		{"text: {decimal: ','}", "the comma cannot be decimal sign and delimiter at once"},
		{"text: {encoding: utf8x}", `encoding "utf8x" is not known`},
		{"line: {name: run}", "give name and value, or neither"},
		{"rows_s: -1", "rows_s"},
	} {
		_, err := mapping.Read(strings.NewReader("runproof: mapping/1\n"+c.text+"\n"), "map.yaml")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n %v\nwant %s", c.text, err, c.want)
		}
	}
	l := logOf(200, []string{"a", "b"}, []float64{1, 2})
	for text, want := range map[string]string{
		"columns: [{from: c, to: 'N1:1'}]": `it has none of the 1 columns that the map names, such as "c"; there are a or b`,
		"columns: [{from: a, to: b}]":      `columns "a" and "b" are both to be called "b"`,
	} {
		_, err := mapping.Apply(l.NewReader(9), readMap(t, text), "log", nil)
		var f input.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// A narrow count may wrap between the first two records; a wide one that falls far
// began anew, and so did one that falls after it has stood still.
func TestFirstDifference(t *testing.T) {
	m := readMap(t, "columns: [{from: a, to: 'N1:1', counts: running, wraps_at: 256}, {from: b, to: 'N2:1', counts: running, wraps_at: 65536}, {from: c, to: 'N3:1', counts: running, wraps_at: 65536}]\n")
	l := logOf(200, []string{"a", "b", "c"}, []float64{250, 30000, 60000}, []float64{29, 5, 60000}, []float64{64, 12, 0})
	got, _ := through(t, l, m)
	for c, want := range [][]float64{{nan, 35, 35}, {nan, nan, 7}, {nan, 0, nan}} {
		for i, w := range want {
			if !same(got.Values[c][i], w) {
				t.Errorf("column %d row %d: %v, want %v", c, i, got.Values[c][i], w)
			}
		}
	}
}

// TestRunningCounts: whatever was counted in intervals comes back from counts
// that run on and wrap, to the particle.
func TestRunningCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bits := rapid.IntRange(6, 20).Draw(t, "bits")
		wraps := 1 << bits
		most := max(1, wraps/40)
		counts := rapid.SliceOfN(rapid.IntRange(0, most), 2, 200).Draw(t, "counts")
		total := rapid.IntRange(0, wraps-1).Draw(t, "start")
		var rows [][]float64
		for _, n := range counts {
			total = (total + n) % wraps
			rows = append(rows, []float64{float64(total)})
		}
		text := fmt.Sprintf("runproof: mapping/1\ncolumns: [{from: c, to: 'N1:1', counts: running, wraps_at: %d}]\n", wraps)
		m, err := mapping.Read(strings.NewReader(text), "m")
		if err != nil {
			t.Fatal(err)
		}
		r, err := mapping.Apply(logOf(200, []string{"c"}, rows...).NewReader(37), m, "log", nil)
		if err != nil {
			t.Fatal(err)
		}
		got, err := flowlog.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		for i, v := range got.Values[0] {
			if i == 0 {
				continue // since when the first counts nobody knows
			}
			// A wrap is believed up to twice the greatest step so far, and a little.
			if v != v && counts[i] <= 2*seen+max(16, wraps/64) {
				t.Fatalf("record %d is not reported", i)
			}
			if v == v && v != float64(counts[i]) {
				t.Fatalf("record %d: %v, want %d", i, v, counts[i])
			}
			if v == v {
				seen = max(seen, counts[i])
			}
		}
	})
}

// sparse is a recording in which nodes report at their own moments: each record
// carries one node's running counts. It gives the counts per report, too.
func sparse(rng *rand.Rand, nodes, ports, reports int, everyS, jitter, ppm float64) (l *flowlog.Log, truth map[string][]float64) {
	type event struct {
		ns   int64
		node int
	}
	var events []event
	l, truth = &flowlog.Log{}, map[string][]float64{}
	for n := range nodes {
		for p := range ports {
			l.Columns = append(l.Columns, flowlog.Column{Name: fmt.Sprintf("S%d.%d", n+1, p+1)})
		}
		phase, pace := rng.Float64(), 1+(rng.Float64()*2-1)*ppm*1e-6
		for i := range reports {
			at := (float64(i)*pace + phase + (rng.Float64()*2-1)*jitter) * everyS
			events = append(events, event{1778577330e9 + int64(at*1e9), n})
		}
	}
	for i := range events {
		for j := i; j > 0 && events[j].ns < events[j-1].ns; j-- {
			events[j], events[j-1] = events[j-1], events[j]
		}
	}
	l.Reset(len(l.Columns))
	totals := make([]int, len(l.Columns))
	for _, e := range events {
		l.TimeNS = append(l.TimeNS, e.ns)
		for c := range l.Columns {
			v := math.NaN()
			if c/ports == e.node {
				k := rng.IntN(20)
				totals[c] += k
				v = float64(totals[c] % 16384)
				truth[l.Columns[c].Name] = append(truth[l.Columns[c].Name], float64(k))
			}
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l, truth
}

func sparseMap(nodes, ports int, everyS float64) string {
	s := fmt.Sprintf("rows_s: %v\ncolumns:\n", everyS)
	for n := range nodes {
		for p := range ports {
			s += fmt.Sprintf("  - {from: 'S%d.%d', to: 'N%d:%d', counts: running, wraps_at: 16384}\n", n+1, p+1, n+1, p+1)
		}
	}
	return s
}

// TestGather: nodes that report early or late by up to 0.35 rows, in clocks that
// differ by up to 100 ppm, give a row each time, and every particle once.
func TestGather(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 4))
		const nodes, ports, reports, every = 4, 3, 600, 0.2
		l, truth := sparse(rng, nodes, ports, reports, every, 0.35, 100)
		got, remarks := through(t, l, readMap(t, sparseMap(nodes, ports, every)))
		// 600 reports at 100 ppm move by 0.06 rows: nobody slips.
		if got.Len() < reports || got.Len() > reports+3 {
			t.Errorf("seed %d: %d rows of %d reports", seed, got.Len(), reports)
		}
		for _, m := range remarks {
			t.Errorf("seed %d: %s", seed, m.What)
		}
		for c, col := range got.Columns {
			want := truth["S"+strings.TrimPrefix(strings.ReplaceAll(col.Name, ":", "."), "N")][1:]
			k := 0
			for i, v := range got.Values[c] {
				if v != v {
					continue
				}
				if k == len(want) || v != want[k] {
					t.Fatalf("seed %d, %s row %d: %v is not report %d", seed, col.Name, i, v, k+1)
				}
				k++
			}
			if k != len(want) {
				t.Errorf("seed %d, %s: %d of %d reports", seed, col.Name, k, len(want))
			}
		}
		for i := 1; i < got.Len(); i++ {
			if got.TimeNS[i]-got.TimeNS[i-1] != every*1e9 {
				t.Fatalf("seed %d: row %d is %d ns after the one before", seed, i, got.TimeNS[i]-got.TimeNS[i-1])
			}
		}
	}
}

// TestGatherDrift: clocks that drift apart by whole rows lose no particle and
// never report two rows at once but where a row slips.
func TestGatherDrift(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	const nodes, ports, reports, every = 3, 2, 4000, 0.2
	l, truth := sparse(rng, nodes, ports, reports, every, 0.2, 2000) // up to 8 rows
	got, remarks := through(t, l, readMap(t, sparseMap(nodes, ports, every)))
	for _, m := range remarks {
		t.Error(m.What)
	}
	for c, col := range got.Columns {
		sum, want, holes := 0.0, 0.0, 0
		for _, v := range got.Values[c] {
			if v != v {
				holes++
				continue
			}
			sum += v
		}
		for _, v := range truth["S"+strings.TrimPrefix(strings.ReplaceAll(col.Name, ":", "."), "N")][1:] {
			want += v
		}
		if sum != want {
			t.Errorf("%s: %v particles, want %v", col.Name, sum, want)
		}
		// Rows before the first and behind the last report of a node, and slips.
		if holes > 1+2*9 {
			t.Errorf("%s: %d rows without a report", col.Name, holes)
		}
	}
}

// TestGatherSilenceAndRestart: a node that is silent for a while leaves rows
// empty, and what it counted meanwhile is told, not put into one row; one that
// starts anew gives no count of the rows across.
func TestGatherSilenceAndRestart(t *testing.T) {
	var rows [][]float64
	a, b, c := 16000.0, 100.0, 100.0
	step := func(report bool) {
		a, b, c = math.Mod(a+10, 16384), b+7, c+7
		if report {
			rows = append(rows, []float64{a, b, c})
		} else {
			rows = append(rows, []float64{nan, nan, 0})
		}
	}
	for i := range 60 {
		if i == 50 {
			a, b, c = 0, 0, 0 // switched off and on
		}
		step(i < 20 || i >= 25)
	}
	for i := 20; i < 25; i++ {
		rows[i][2] = nan
	}
	l := logOf(200, []string{"a", "b", "alive"}, rows...)
	got, remarks := through(t, l, readMap(t, `rows_s: 0.2
columns:
  - {from: a, to: "N1:1", counts: running, wraps_at: 16384}
  - {from: b, to: "N1:2", counts: running, wraps_at: 16384}
  - {from: alive, to: "-"}
`))
	for c, per := range []float64{10, 7} {
		total := 0.0
		for _, v := range got.Values[c] {
			if v == v {
				total += v
				if v != per {
					t.Errorf("port %d: %v in a row", c+1, v)
				}
			}
		}
		// 60 reports: the first, five silent ones, the one behind, and the restart.
		if want := per * (60 - 1 - 5 - 1 - 1); total != want {
			t.Errorf("port %d: %v particles, want %v", c+1, total, want)
		}
	}
	said := fmt.Sprint(remarks)
	if !strings.Contains(said, "2 counts, 102 particles, are of more than one row") || !strings.Contains(said, "began anew") {
		t.Error(said)
	}
}

// TestText reads what recorders of several countries write.
func TestText(t *testing.T) {
	const german = "Aufzeichnung Hof\nGer\xe4t 7\nDatum;Zeit;Geschw.;Kanal 1;Arbeit;F\xfcllung\n-;-;km/h;-;-;%\n" +
		"25.10.2026;02:59:59,8;7,2;250;ein;50,5\r\n25.10.2026;02:00:00,0;;4;aus;50\n\n25.10.2026;02:00:00,2;-7,2;\"1\"\"2\";ein;x\n25.10.2026;02:00:00,4;3,6;9"
	m := readMap(t, `text: {delimiter: ";", decimal: ",", skip_lines: 2, skip_after_head: 1, encoding: windows-1252}
time: {columns: [Datum, Zeit], form: "DD.MM.YYYY hh:mm:ss", zone: Europe/Berlin}
columns:
  - {from: Geschw., to: speed, unit: km/h}
  - {from: "#4", to: "4103:1"}
  - {from: Arbeit, to: work, on: [ein]}
`)
	text, err := mapping.NewText(strings.NewReader(german), "d.txt", m)
	if err != nil {
		t.Fatal(err)
	}
	r, err := mapping.Apply(text, m, "d.txt", nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for i, ns := range got.TimeNS {
		fmt.Fprintf(&b, "%s", got.Clock.Format(ns))
		for c, col := range got.Columns {
			fmt.Fprintf(&b, " %s=%v", col.Name, got.Values[c][i])
		}
		b.WriteString("\n")
	}
	want := `2026-10-25T00:59:59.8Z speed=2 4103:1=250 work=1 Füllung=50.5
2026-10-25T01:00:00Z speed=NaN 4103:1=4 work=0 Füllung=50
2026-10-25T01:00:00.2Z speed=-2 4103:1=NaN work=1 Füllung=NaN
2026-10-25T01:00:00.4Z speed=1 4103:1=NaN work=NaN Füllung=NaN
`
	if b.String() != want {
		t.Errorf("%s\nwant\n%s", b.String(), want)
	}
	said := fmt.Sprint(flowlog.RemarksOf(r))
	for _, part := range []string{"the last line, 9, is cut short", "1 cells of ports, position, speed or work hold no number", "1 cells hold no number", "the clock went back by an hour; 3 times"} {
		if !strings.Contains(said, part) {
			t.Errorf("%s\nlacks %s", said, part)
		}
	}
}

// A proposal reads its own sample.
func TestProposalReadsItsSample(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"german", "Datum;Zeit;Geschw. (km/h);Reihe 01;Reihe 02\n12.05.2026;09:15:30,0;7,2;4;5\n12.05.2026;09:15:30,2;7,2;3;6\n13.05.2026;09:15:30,4;7,2;3;6\n", `text: {delimiter: ";", decimal: ","}
time: {columns: ["Datum", "Zeit"], form: "DD.MM.YYYY hh:mm:ss", zone: "UTC"}
columns: # what is not named here is kept under its own name
  - {from: "Geschw. (km/h)", to: "speed", unit: "km/h"}
  - {from: "Reihe 01", to: "N1:1"}
  - {from: "Reihe 02", to: "N1:2"}
`},
		{"unix and running", "t,A1,A2,lat,lon\n1778577330.0,100,250,51.2,-106.3\n1778577330.2,110,4,51.2,-106.3\n1778577330.4,120,14,51.2,-106.3\n" +
			strings.Join(rising(60), ""), `time: {columns: ["t"], form: "unix_s"}
columns: # what is not named here is kept under its own name
  - {from: "lat", to: "lat"}
`},
		{"no head", "5.0\t1\t2\n5.2\t3\t4\n5.4\t2\t2\n", `text: {delimiter: "tab", no_head: true}
time: {columns: ["#1"], form: "seconds"}
columns: # what is not named here is kept under its own name
  - {from: "#2", to: "N1:2"}
  - {from: "#3", to: "N1:3"}
`},
		{"ports in the head", "Zeit,4103:1,4103:2,4103:3,note\n5.0,1,2,3,4\n5.2,1,2,3,4\n", `time: {columns: ["Zeit"], form: "seconds"}
`},
		{"american", "Timestamp,Row 1,Row 2\n05/13/2026 1:15:30 PM,1,2\n05/13/2026 1:15:31 PM,1,2\n", `time: {columns: ["Timestamp"], form: "MM/DD/YYYY hh:mm:ss AM", zone: "UTC"}
columns: # what is not named here is kept under its own name
  - {from: "Row 1", to: "N1:1"}
  - {from: "Row 2", to: "N1:2"}
`},
	} {
		p, err := mapping.ProposeText(strings.NewReader(c.text), "s.txt")
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		var b strings.Builder
		if err := p.Write(&b); err != nil {
			t.Fatal(err)
		}
		if c.name == "unix and running" {
			// lat and lon have their names already; counts wrap at 256
			c.want = `time: {columns: ["t"], form: "unix_s"}
columns: # what is not named here is kept under its own name
  - {from: "A1", to: "N1:1", counts: running, wraps_at: 256}
  - {from: "A2", to: "N1:2", counts: running, wraps_at: 256}
`
		}
		bare := ""
		for line := range strings.Lines(b.String()) {
			if !strings.HasPrefix(line, "#") && !strings.HasPrefix(line, "runproof") {
				bare += line
			}
		}
		if c.name == "ports in the head" && len(p.Notes) > 0 {
			t.Errorf("%s: asks %q", c.name, p.Notes)
		}
		if bare != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, bare, c.want)
		}
		m, err := mapping.Read(strings.NewReader(b.String()), "map.yaml")
		if err != nil {
			t.Errorf("%s: the proposal cannot be read: %v\n%s", c.name, err, b.String())
			continue
		}
		text, err := mapping.NewText(strings.NewReader(c.text), "s.txt", m)
		if err != nil {
			t.Fatal(err)
		}
		r, err := mapping.Apply(text, m, "s.txt", nil)
		if err != nil {
			t.Fatal(err)
		}
		if l, err := flowlog.ReadAll(r); err != nil || l.Len() < 2 {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// Narrow counts that wrap every few reports are known by their steps; counts of
// their own line are not taken for such.
func TestProposalOfNarrowCounts(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for _, c := range []struct {
		mean  int
		wraps int
	}{{30, 256}, {3, 256}, {100, 1024}, {30, 0}, {3, 0}, {200, 0}} {
		l := &flowlog.Log{}
		for _, name := range []string{"A.Run01", "A.Run02", "B.Run01"} {
			l.Columns = append(l.Columns, flowlog.Column{Name: name})
		}
		l.Reset(3)
		total := [3]int{}
		for i := range 400 {
			l.TimeNS = append(l.TimeNS, int64(i)*2e8)
			for k := range total {
				n := c.mean/2 + rng.IntN(c.mean+1)
				total[k] += n
				if c.wraps > 0 {
					n = total[k] % c.wraps
				}
				l.Values[k] = append(l.Values[k], float64(n))
			}
		}
		p, err := mapping.Propose(l.NewReader(50))
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Columns) != 3 {
			t.Fatalf("mean %d: %+v", c.mean, p.Columns)
		}
		for _, col := range p.Columns {
			if (col.Counts == mapping.Running) != (c.wraps > 0) || col.WrapsAt != float64(c.wraps) {
				t.Errorf("mean %d, wraps at %d: %+v", c.mean, c.wraps, col)
			}
		}
	}
}

// rising are lines of counts that run on and wrap at 256.
func rising(n int) []string {
	var lines []string
	for i := range n {
		lines = append(lines, fmt.Sprintf("%.1f,%d,%d,51.2,-106.3\n", 1778577330.6+float64(i)*0.2, (130+i*10)%256, (24+i*10)%256))
	}
	return lines
}

// FuzzText reads any bytes as a text, as a map and through the map proposed.
func FuzzText(f *testing.F) {
	for _, s := range []string{"time,N1:1\n1,2\n2,3\n", "Datum;Zeit;A1;A2\n12.05.2026;09:15:30;1;2\n", "t\t1\t2\n5\t6\t7\n", "\xff\xfea\x00;\x00b\x00\n\x00"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := mapping.ProposeText(strings.NewReader(string(b)), "s.txt")
		if err != nil {
			return
		}
		var doc strings.Builder
		if err := p.Write(&doc); err != nil {
			t.Fatal(err)
		}
		text, err := mapping.NewText(strings.NewReader(string(b)), "s.txt", &p.Map)
		if err != nil {
			return
		}
		r, err := mapping.Apply(text, &p.Map, "s.txt", nil)
		if err != nil {
			return
		}
		var batch flowlog.Batch
		last, any := int64(0), false
		for r.Read(&batch) == nil {
			for i, ns := range batch.TimeNS {
				if any && ns <= last {
					t.Fatalf("time %d after %d", ns, last)
				}
				last, any = ns, true
				for c := range batch.Values {
					if v := batch.Values[c][i]; v == v && r.Schema().Columns[c].Kind.Check(v) != nil {
						t.Fatalf("%v in %s", v, r.Schema().Columns[c].Name)
					}
				}
			}
		}
	})
}

// FuzzRead reads any text as a map.
func FuzzRead(f *testing.F) {
	b, err := os.ReadFile("testdata/all.yaml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(b))
	f.Fuzz(func(t *testing.T, s string) {
		if _, err := mapping.Read(strings.NewReader(s), "m.yaml"); err != nil {
			var fs input.Faults
			if !errors.As(err, &fs) {
				t.Fatalf("%T", err)
			}
		}
	})
}

func BenchmarkText(b *testing.B) {
	var s strings.Builder
	s.WriteString("Datum;Zeit;Geschw.")
	for p := range 60 {
		fmt.Fprintf(&s, ";K%d", p+1)
	}
	s.WriteString("\n")
	for i := range 20000 {
		fmt.Fprintf(&s, "12.05.2026;%02d:%02d:%02d,0;7,2", i/3600, i/60%60, i%60)
		for p := range 60 {
			fmt.Fprintf(&s, ";%d", (i*p)%30)
		}
		s.WriteString("\n")
	}
	m := readMap(b, `text: {delimiter: ";", decimal: ","}
time: {columns: [Datum, Zeit], form: "DD.MM.YYYY hh:mm:ss", zone: Europe/Berlin}
columns: [{from: Geschw., to: speed, unit: km/h}, {from: K1, to: "N1:1"}]
`)
	b.SetBytes(int64(s.Len()))
	for b.Loop() {
		text, err := mapping.NewText(strings.NewReader(s.String()), "s", m)
		if err != nil {
			b.Fatal(err)
		}
		r, err := mapping.Apply(text, m, "s", nil)
		if err != nil {
			b.Fatal(err)
		}
		var batch flowlog.Batch
		for r.Read(&batch) == nil {
		}
	}
}

func BenchmarkGather(b *testing.B) {
	l, _ := sparse(rand.New(rand.NewPCG(1, 1)), 6, 12, 2000, 0.2, 0.2, 50)
	m := readMap(b, sparseMap(6, 12, 0.2))
	b.SetBytes(int64(l.Len()) * 12 * 8)
	for b.Loop() {
		r, err := mapping.Apply(l.NewReader(1000), m, "log", nil)
		if err != nil {
			b.Fatal(err)
		}
		var batch flowlog.Batch
		for r.Read(&batch) == nil {
		}
	}
}
