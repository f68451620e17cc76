package mapping_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/mapping"
)

// style is a recording in some style, and what it says (testdata/styles/SOURCE.md).
type style struct {
	File string
	Zone string
	Asks string
	Rows [][]any // time as text, lat, lon, speed, course, work, counts
}

// TestStyles: through the map that is proposed, with no more than the zone
// answered, every value of every style is what the generator meant; and where no
// look at the file can tell, the proposal asks.
func TestStyles(t *testing.T) {
	var styles map[string]style
	truth, err := os.ReadFile("testdata/styles/truth.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(truth, &styles); err != nil {
		t.Fatal(err)
	}
	for name, s := range styles {
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(filepath.Join("testdata", "styles", s.File))
			if err != nil {
				t.Fatal(err)
			}
			p, err := mapping.ProposeText(bytes.NewReader(text), s.File)
			if err != nil {
				t.Fatal(err)
			}
			notes := strings.Join(p.Notes, "\n")
			if s.Asks != "" {
				if !strings.Contains(notes, s.Asks) {
					t.Errorf("asks\n%s\nbut not %s", notes, s.Asks)
				}
				return
			}
			if s.Zone != "" {
				if p.Time.Zone != "UTC" || !strings.Contains(notes, "times carry no zone") {
					t.Errorf("zone %q proposed, and asks\n%s", p.Time.Zone, notes)
				}
				p.Time.Zone = s.Zone
			}
			s.compare(t, readThrough(t, text, s.File, p))
		})
	}
}

// readThrough reads a text through a proposal, written and read again.
func readThrough(t *testing.T, text []byte, file string, p *mapping.Proposal) *flowlog.Log {
	t.Helper()
	var doc bytes.Buffer
	if err := p.Write(&doc); err != nil {
		t.Fatal(err)
	}
	m, err := mapping.Read(bytes.NewReader(doc.Bytes()), "map.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, doc.String())
	}
	r, err := mapping.NewText(bytes.NewReader(text), file, m)
	if err != nil {
		t.Fatal(err)
	}
	a, err := mapping.Apply(r, m, file, nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(a)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// compare holds a log to the truth. Speeds are written with three decimals of
// their own unit, positions in minutes with five.
func (s *style) compare(t *testing.T, l *flowlog.Log) {
	t.Helper()
	columns := []int{l.Find(flowlog.Lat), l.Find(flowlog.Lon), l.Find(flowlog.Speed), l.Find(flowlog.Course), l.Find(flowlog.Work)}
	within := []float64{2e-7, 2e-7, 6e-4, 1e-9, 0}
	for c, col := range l.Columns {
		if col.Kind == flowlog.Port {
			columns, within = append(columns, c), append(within, 0)
		}
	}
	if l.Len() != len(s.Rows) || len(columns) != len(s.Rows[0])-1 {
		t.Fatalf("%d rows of %d values, want %d of %d", l.Len(), len(columns), len(s.Rows), len(s.Rows[0])-1)
	}
	for i, row := range s.Rows {
		if ns := strconv.FormatInt(l.TimeNS[i], 10); ns != row[0] {
			t.Fatalf("row %d at %s, want %s", i, ns, row[0])
		}
		for k, c := range columns {
			got, want := math.NaN(), math.NaN()
			if c >= 0 {
				got = l.Values[c][i]
			}
			if v, told := row[k+1].(float64); told {
				want = v
			}
			if !same(got, want) && !(math.Abs(got-want) <= within[k]) {
				t.Fatalf("row %d value %d is %v, want %v", i, k, got, want)
			}
		}
	}
}
