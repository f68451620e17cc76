package taskdata_test

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/taskdata"
)

// read gives a log of a set, and what its reader had to say.
func read(t testing.TB, folder, part string) (*flowlog.Log, []flowlog.Remark) {
	t.Helper()
	set, err := taskdata.Open(os.DirFS(folder), folder)
	if err != nil {
		t.Fatal(err)
	}
	r, err := set.Log(part, nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return l, r.Remarks()
}

// decoded is a record as the reference decoders gave it.
type decoded struct {
	ms, days int64
	pos      map[string]string // by attribute of PTN
	values   map[int]int64     // by place
}

// TestInventedSet: every value of sample set "sample-taskdata" as decoded by
// npm isoxml 1.11.2 and by a second reader written apart (truth.json).
func TestInventedSet(t *testing.T) {
	b, err := os.ReadFile("testdata/invented/truth.json")
	if err != nil {
		t.Fatal(err)
	}
	var truth struct {
		Logs map[string]struct {
			Position []string `json:"position_fields"`
			Values   []struct {
				DDI     int
				Element string
			}
			Records []struct {
				MS       int64 `json:"time_of_day_ms"`
				Days     int64 `json:"days_since_1980"`
				Position []int64
				DLV      [][2]int64
			}
		}
	}
	if err := json.Unmarshal(b, &truth); err != nil {
		t.Fatal(err)
	}
	values := 0
	for name, want := range truth.Logs {
		l, remarks := read(t, "testdata/invented", name)
		if l.Len() != len(want.Records) {
			t.Fatalf("%s: %d records, want %d", name, l.Len(), len(want.Records))
		}
		for _, m := range remarks {
			if m.Lost {
				t.Errorf("%s: %s", name, m.What)
			}
		}
		for i, rec := range want.Records {
			if ns := stamp(rec.MS, rec.Days); l.TimeNS[i] != ns {
				t.Fatalf("%s record %d: time %d, want %d", name, i+1, l.TimeNS[i], ns)
			}
			carried := map[string]int64{}
			for _, v := range rec.DLV {
				of := want.Values[v[0]]
				carried[fmt.Sprintf("%04X:%s", of.DDI, of.Element)] = v[1]
			}
			for _, of := range want.Values {
				column := fmt.Sprintf("%04X:%s", of.DDI, of.Element)
				raw, has := carried[column]
				if got := cell(t, l, column, i); has != (got == got) || has && got != float64(raw) {
					t.Errorf("%s record %d %s: %v, want %d (%v)", name, i+1, column, got, raw, has)
				}
				if has {
					values++
				}
			}
			if len(rec.Position) > 1 {
				checkPosition(t, name, l, i, rec.Position[0], rec.Position[1])
			}
		}
	}
	if values != 1125 {
		t.Errorf("%d values checked, want 1125", values)
	}
}

func stamp(ms, days int64) int64 { return ((days+3652)*86400*1000 + ms) * 1e6 }

func cell(t *testing.T, l *flowlog.Log, column string, row int) float64 {
	t.Helper()
	for c, col := range l.Columns {
		if col.Name == column {
			return l.Values[c][row]
		}
	}
	t.Fatalf("no column %s", column)
	return 0
}

// checkPosition: 0/0 and what lies off the globe is no position.
func checkPosition(t *testing.T, name string, l *flowlog.Log, row int, n, e int64) {
	t.Helper()
	lat, lon := cell(t, l, "lat", row), cell(t, l, "lon", row)
	known := (n != 0 || e != 0) && n >= -9e8 && n <= 9e8 && e >= -18e8 && e <= 18e8
	if known != (lat == lat) || known && (lat != float64(n)/1e7 || lon != float64(e)/1e7) {
		t.Errorf("%s record %d: %v, %v, want %d, %d (1e-7 deg)", name, row+1, lat, lon, n, e)
	}
}

// TestPublicSets: every value of three public sets (see ATTRIBUTION.md) as the
// same two reference decoders gave them, in TLG*.csv.
func TestPublicSets(t *testing.T) {
	files, err := filepath.Glob("testdata/public/*/TLG*.csv")
	if err != nil || len(files) != 5 {
		t.Fatal(files, err)
	}
	records, values := 0, 0
	for _, name := range files {
		want := decodedCSV(t, name)
		l, _ := read(t, filepath.Dir(name), strings.TrimSuffix(filepath.Base(name), ".csv"))
		if l.Len() != len(want) {
			t.Fatalf("%s: %d records, want %d", name, l.Len(), len(want))
		}
		records += len(want)
		places := columnsByPlace(t, strings.TrimSuffix(name, ".csv")+".XML", l)
		last := int64(0)
		for i, rec := range want {
			ns := stamp(rec.ms, rec.days)
			if ns == last {
				ns += 1e6
			}
			if last = stamp(rec.ms, rec.days); l.TimeNS[i] != ns {
				t.Fatalf("%s record %d: time %d, want %d", name, i+1, l.TimeNS[i], ns)
			}
			for place, c := range places {
				raw, has := rec.values[place]
				if got := l.Values[c][i]; has != (got == got) || has && got != float64(raw) {
					t.Errorf("%s record %d place %d (%s): %v, want %d (%v)", name, i+1, place, l.Columns[c].Name, got, raw, has)
				}
			}
			values += len(rec.values)
			n, _ := strconv.ParseInt(rec.pos["A"], 10, 64)
			e, _ := strconv.ParseInt(rec.pos["B"], 10, 64)
			checkPosition(t, name, l, i, n, e)
		}
	}
	if records != 2666 || values != 26136 {
		t.Errorf("%d records and %d values checked, want 2666 and 26136", records, values)
	}
}

// columnsByPlace finds the column of each place in a time log's head, reading
// the head with other means than the reader does.
func columnsByPlace(t *testing.T, file string, l *flowlog.Log) []int {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	attr := func(tag, name string) string {
		_, rest, _ := strings.Cut(tag, " "+name+`="`)
		v, _, _ := strings.Cut(rest, `"`)
		return v
	}
	var names []string
	count := map[string]int{}
	for _, tag := range strings.Split(string(b), "<DLV")[1:] {
		name := attr(tag, "A") + ":" + attr(tag, "C")
		names = append(names, name)
		count[name]++
	}
	var columns []int
	for i, name := range names {
		if count[name] > 1 {
			name += fmt.Sprintf("#%d", i)
		}
		at := -1
		for c, col := range l.Columns {
			if col.Name == name {
				at = c
			}
		}
		if at < 0 {
			t.Fatalf("%s: no column %s", file, name)
		}
		columns = append(columns, at)
	}
	return columns
}

func decodedCSV(t *testing.T, file string) []decoded {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	head, err := r.Read()
	if err != nil {
		t.Fatal(err)
	}
	var all []decoded
	for {
		line, err := r.Read()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		d := decoded{pos: map[string]string{}, values: map[int]int64{}}
		d.ms, _ = strconv.ParseInt(line[0], 10, 64)
		d.days, _ = strconv.ParseInt(line[1], 10, 64)
		for i := 2; i < len(line)-1; i++ {
			d.pos[head[i]] = line[i]
		}
		for _, pair := range strings.Fields(line[len(line)-1]) {
			place, value, _ := strings.Cut(pair, "=")
			p, _ := strconv.Atoi(place)
			d.values[p], _ = strconv.ParseInt(value, 10, 64)
		}
		all = append(all, d)
	}
}
