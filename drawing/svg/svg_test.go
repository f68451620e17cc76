package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"strings"
	"testing"

	"runproof/drawing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// sampleSheet has one of each item.
func sampleSheet() *drawing.Sheet {
	s := drawing.NewSheet(drawing.Size{WMM: 60, HMM: 30})
	s.Title = "Row 7 & <its> neighbours"
	box := drawing.Rect{X: 5, Y: 5, W: 20, H: 10}
	s.Group("run-C-7", "C-7, row 31", func() {
		s.Shade([][]drawing.Point{box.Corners()}, drawing.State{Ink: drawing.Orange, Hatch: drawing.Rising}, 4)
		s.Rect(box, drawing.Thin, drawing.NoInk)
	})
	s.Circle(drawing.Point{X: 40, Y: 10}, 3, drawing.Stout.Of(drawing.Accent), drawing.Ground)
	s.Polyline([]drawing.Point{{X: 5, Y: 20}, {X: 30, Y: 20}, {X: 30, Y: 25}, {X: 40, Y: 28}}, drawing.Thin.With(drawing.Dashed))
	s.Text(drawing.Point{X: 40, Y: 22}, `C-7 "blocked" < 212 m`, drawing.TextStyle{SizePT: 8, Align: drawing.Centre}.Bold())
	s.Text(drawing.Point{X: 55, Y: 25}, "up", drawing.TextStyle{AngleDeg: -90, Align: drawing.Right})
	return s
}

func TestGolden(t *testing.T) {
	var got bytes.Buffer
	if err := Write(&got, sampleSheet(), Options{}); err != nil {
		t.Fatal(err)
	}
	const golden = "testdata/sample.svg"
	if *update {
		if err := os.WriteFile(golden, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("picture changed; look at it, then renew with -update\n%s", got.String())
	}
}

// wellFormed reads the picture with encoding/xml and returns its text.
func wellFormed(t *testing.T, picture []byte) string {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(picture))
	var text strings.Builder
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return text.String()
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, picture)
		}
		if c, ok := tok.(xml.CharData); ok {
			text.Write(c)
		}
	}
}

func TestEmbeddedFontIsInTheFile(t *testing.T) {
	var named, embedded bytes.Buffer
	if err := errors.Join(Write(&named, sampleSheet(), Options{}), Write(&embedded, sampleSheet(), Options{Font: Embedded})); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(embedded.String(), "@font-face"); n != 2 {
		t.Errorf("%d weights embedded, the sheet uses 2", n)
	}
	if strings.Contains(named.String(), "@font-face") {
		t.Error("a picture for a page carries a font")
	}
	wellFormed(t, embedded.Bytes())
}

func TestGroundCanBeLeftOut(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, drawing.NewSheet(drawing.Size{WMM: 1, HMM: 1}), Options{NoGround: true}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "<rect") {
		t.Error("ground was painted")
	}
}

func FuzzTextIsAlwaysWellFormed(f *testing.F) {
	for _, s := range []string{"C-7", `<&>"'`, "\x00\x1b", "\xff\xfe", "漢", "]]>", "\ufffe"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s := drawing.NewSheet(drawing.Size{WMM: 10, HMM: 10})
		s.Title = text
		s.Group(text, text, func() { s.Text(drawing.Point{}, text, drawing.TextStyle{}) })
		var b bytes.Buffer
		if err := Write(&b, s, Options{}); err != nil {
			t.Fatal(err)
		}
		wellFormed(t, b.Bytes())
	})
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWriteErrorIsReported(t *testing.T) {
	if err := Write(fullDisk{}, sampleSheet(), Options{}); err == nil {
		t.Error("a failed write went unnoticed")
	}
}

func BenchmarkWrite(b *testing.B) {
	s := drawing.NewSheet(drawing.Size{WMM: 200, HMM: 200})
	for i := range 10000 {
		s.Rect(drawing.Rect{X: float64(i % 100), Y: float64(i / 100), W: 1, H: 1}, drawing.Pen{}, drawing.Sky)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, s, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
