package shapefile

import (
	"bytes"
	"encoding/binary"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"runproof/export"
)

var day = time.Date(2026, 5, 12, 9, 36, 0, 0, time.UTC)

// ofTexts is a layer with one column of text.
func ofTexts(texts ...string) export.Layer {
	l := export.Layer{Name: "t", Fields: []export.Field{{Name: "text", Short: "text"}}}
	for _, s := range texts {
		l.Features = append(l.Features, export.Feature{Cells: []any{s}})
	}
	return l
}

// A text longer than a column can hold ends between letters, and is counted.
func TestLongTexts(t *testing.T) {
	long := strings.Repeat("ü🌾", 60) // 6 bytes each
	s, err := Make(ofTexts("short", long), day)
	if err != nil || s.Cut != 1 || len(s.Files) != 2 || s.Files[0].Suffix != ".dbf" || string(s.Files[1].Bytes) != "UTF-8" {
		t.Fatalf("%v, %d cut, %d files", err, s.Cut, len(s.Files))
	}
	dbf := s.Files[0].Bytes
	head, record := int(binary.LittleEndian.Uint16(dbf[8:])), int(binary.LittleEndian.Uint16(dbf[10:]))
	cell := strings.TrimRight(string(dbf[head+record+1:head+2*record]), " ")
	if record != 255 || !utf8.ValidString(cell) || !strings.HasPrefix(long, cell) || len(cell) < 254-3 {
		t.Errorf("record of %d bytes holds %d: %q", record, len(cell), cell)
	}
	if dbf[1] != 126 || dbf[2] != 5 || dbf[3] != 12 {
		t.Errorf("day %v", dbf[1:4])
	}
}

// Not known is blank (dBASE III), a truth value T or F, a number right-aligned.
func TestCells(t *testing.T) {
	field := func(k export.FieldType, digits int) column {
		return column{export.Field{Type: k, Digits: digits}, map[export.FieldType]byte{export.Text: 'C', export.Truth: 'L'}[k], 6}
	}
	for _, c := range []struct {
		col  column
		cell any
		want string
	}{
		{field(export.Text, 0), "ab", "ab    "},
		{field(export.Text, 0), nil, "      "},
		{field(export.Text, 0), "a\xffb", "a\ufffdb "},
		{field(export.Decimal, 2), 3.14159, "  3.14"},
		{field(export.Decimal, 2), nil, "      "},
		{field(export.Decimal, 2), 12345678.9, "      "}, // wider than its column: not known, rather than wrong
		{field(export.Whole, 0), int64(-7), "    -7"},
	} {
		if got, _ := c.col.cell(nil, c.cell); string(got) != c.want {
			t.Errorf("%v: %q, want %q", c.cell, got, c.want)
		}
	}
	truth := field(export.Truth, 0)
	truth.width = 1
	for cell, want := range map[any]string{true: "T", false: "F", nil: "?"} {
		if got, _ := truth.cell(nil, cell); string(got) != want {
			t.Errorf("%v: %q, want %q", cell, got, want)
		}
	}
}

// Names of columns have at most ten letters of ASCII, each once in its layer.
func TestShortNames(t *testing.T) {
	var d export.Day
	name := regexp.MustCompile(`^[a-z][a-z0-9_]{0,9}$`)
	for _, l := range []export.Layer{d.Skips(), d.Events(), d.Track(), d.Runs()} {
		once := map[string]bool{}
		for _, f := range l.Fields {
			if !name.MatchString(f.Short) || once[f.Short] {
				t.Errorf("%s: %q", l.Name, f.Short)
			}
			once[f.Short] = true
		}
	}
}

// An empty layer is a head and nothing else.
func TestEmpty(t *testing.T) {
	var d export.Day
	s, err := Make(d.Skips(), day)
	if err != nil {
		t.Fatal(err)
	}
	sizes := map[string]int{".shp": 100, ".shx": 100, ".dbf": 32 + 32*10 + 1 + 1}
	for _, f := range s.Files {
		if want, ok := sizes[f.Suffix]; ok && len(f.Bytes) != want {
			t.Errorf("%s has %d bytes, want %d", f.Suffix, len(f.Bytes), want)
		}
	}
}

// A point by the published layout (ESRI 1998, table of the main file header and
// of Point): numbers by hand.
func TestPointByHand(t *testing.T) {
	l := export.Layer{Geometry: export.Point, Features: []export.Feature{{At: &export.Position{1, 2}}, {}}}
	shp, shx, err := shapes(l)
	if err != nil {
		t.Fatal(err)
	}
	want := "" +
		"0000270a0000000000000000000000000000000000000000" + "00000046" + "e803000001000000" + // 9994; 50 + 14 + 6 = 70 words; 1000, type 1
		strings.Repeat("000000000000f03f0000000000000040", 2) + strings.Repeat("00", 32) + // box 1 2 1 2
		"000000010000000a" + "01000000000000000000f03f0000000000000040" + // record 1, 10 words
		"0000000200000002" + "00000000" // record 2, a null shape
	if got := hexOf(shp); got != want {
		t.Errorf("shp\n%s, want\n%s", got, want)
	}
	if got := hexOf(shx[100:]); got != "000000320000000a"+"0000004000000002" { // at 50 and 64 words
		t.Errorf("shx %s", got)
	}
}

func hexOf(b []byte) string {
	var s strings.Builder
	for _, v := range b {
		s.WriteString(string("0123456789abcdef"[v>>4]) + string("0123456789abcdef"[v&15]))
	}
	return s.String()
}

func TestZipSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	if _, err := WriteZip(&a, day, ofTexts("x")); err != nil {
		t.Fatal(err)
	}
	if _, err := WriteZip(&b, day.Add(time.Second), ofTexts("x")); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the second differs", err)
	}
}
