package workbook

import (
	"bytes"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"runproof/export"
)

func demoDay(t testing.TB) *export.Day {
	t.Helper()
	day, err := export.Read(os.DirFS("../testdata/demo"), "demo")
	if err != nil {
		t.Fatal(err)
	}
	return day
}

// The spreadsheet reads back with numbers as numbers, under a head that stays in
// sight, and comes out the same each time. (Read also with openpyxl 3.0.9 when
// this was written.)
func TestWrite(t *testing.T) {
	day := demoDay(t)
	day.Found[0].Sentence = "=1+1"
	var a, b bytes.Buffer
	if err := Write(&a, day); err != nil {
		t.Fatal(err)
	}
	if err := Write(&b, day); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two writings differ", err)
	}
	x, err := excelize.OpenReader(&a)
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	if got := strings.Join(x.GetSheetList(), " "); got != "events runs summary" {
		t.Errorf("sheets %s", got)
	}
	for _, l := range []export.Layer{day.Events().With(seconds()), day.Runs()} {
		if p, err := x.GetPanes(l.Name); err != nil || !p.Freeze || p.YSplit != 1 {
			t.Errorf("%s: %v, %v", l.Name, p, err)
		}
		for i, f := range l.Features {
			for k, cell := range f.Cells {
				at, _ := excelize.CoordinatesToCellName(k+1, i+2)
				got, _ := x.GetCellValue(l.Name, at, excelize.Options{RawCellValue: true})
				typ, _ := x.GetCellType(l.Name, at)
				text := typ == excelize.CellTypeSharedString || typ == excelize.CellTypeInlineString
				formula, _ := x.GetCellFormula(l.Name, at)
				switch v := cell.(type) {
				case string:
					if got != v || !text || formula != "" {
						t.Errorf("%s %s: %q of type %v, formula %q; want %q", l.Name, at, got, typ, formula, v)
					}
				case float64:
					if n, err := strconv.ParseFloat(got, 64); err != nil || text || n != v {
						t.Errorf("%s %s: %q of type %v, want %v", l.Name, at, got, typ, v)
					}
				case int64:
					if got != strconv.FormatInt(v, 10) || text {
						t.Errorf("%s %s: %q of type %v, want %d", l.Name, at, got, typ, v)
					}
				}
			}
		}
	}
	name, _ := x.GetCellValue("summary", "B1")
	if name != day.Summary.Drill {
		t.Errorf("summary of %q", name)
	}
}

// 08:08:40 to 08:11:55 are 195 s; what has no time has no length.
func TestSeconds(t *testing.T) {
	s := seconds()
	for _, c := range []struct {
		start, end any
		want       any
	}{
		{"2026-05-12T08:08:40Z", "2026-05-12T08:11:55Z", 195.0},
		{"12.25", "14", 1.8},
		{nil, "14", nil},
		{"x", "14", nil},
	} {
		got := s.Cell(func(name string) any { return map[string]any{"start": c.start, "end": c.end}[name] })
		if v, ok := got.(float64); got != c.want && !(ok && math.Abs(v-c.want.(float64)) < 1e-9) {
			t.Errorf("%v to %v: %v, want %v", c.start, c.end, got, c.want)
		}
	}
}

func TestEmpty(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, &export.Day{}); err != nil {
		t.Error(err)
	}
}

func TestClip(t *testing.T) {
	if got := clip(strings.Repeat("ü", 40000)); len([]rune(got)) != 32767 {
		t.Errorf("%d letters", len([]rune(got)))
	}
}
