package pdf

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/carlos7ags/folio/reader"
	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"runproof/drawing"
)

func sampleBook() *drawing.Book {
	f := drawing.NewFlow(drawing.Info{Title: "A trial", Subject: "drawing", Author: "Runproof"}, drawing.A4.Portrait(), 15)
	f.Title("A trial of the pages")
	f.Paragraph("Row 7 is fed by run C-7 ≤ 2.4 m, Łódź, Жито.")
	f.Heading("A shape of each kind")
	s, r := f.Area(40)
	s.Shade([][]drawing.Point{r.Inset(4).Corners()}, drawing.State{Ink: drawing.Sky, Hatch: drawing.Crossed}, 2)
	s.Circle(r.Centre(), 6, drawing.Stout, drawing.Ground)
	s.Polyline(r.Corners(), drawing.Thin.With(drawing.DashDot))
	s.Text(r.Centre(), "turned", drawing.TextStyle{AngleDeg: -90, Align: drawing.Centre}.Bold())
	f.Turn(drawing.Letter.Landscape())
	f.Title("Another page")
	return f.Close("a foot line")
}

func write(t *testing.T, b *drawing.Book) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, b); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestSameBytesTwice(t *testing.T) {
	if !bytes.Equal(write(t, sampleBook()), write(t, sampleBook())) {
		t.Error("the same book gave other bytes")
	}
}

// Independent judge: pdfcpu (github.com/pdfcpu/pdfcpu) in its strict mode.
func TestPdfcpuFindsNoFault(t *testing.T) {
	conf := model.NewDefaultConfiguration()
	conf.ValidationMode = model.ValidationStrict
	if err := api.Validate(bytes.NewReader(write(t, sampleBook())), conf); err != nil {
		t.Error(err)
	}
}

func TestPagesOutlineAndText(t *testing.T) {
	file := write(t, sampleBook())
	dims, err := api.PageDims(bytes.NewReader(file), nil)
	if err != nil {
		t.Fatal(err)
	}
	// ISO 216: A4 is 210 mm x 297 mm = 595.276 pt x 841.890 pt; letter is 612 pt x 792 pt.
	if len(dims) != 2 || dims[0].Width != 595.276 || dims[0].Height != 841.89 || dims[1].Width != 792 || dims[1].Height != 612 {
		t.Errorf("pages %v", dims)
	}
	marks, err := api.Bookmarks(bytes.NewReader(file), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(marks) != 2 || marks[0].Title != "A trial of the pages" || len(marks[0].Kids) != 1 || marks[1].PageFrom != 2 {
		t.Errorf("outline %+v", marks)
	}
	doc, err := reader.Parse(file)
	if err != nil {
		t.Fatal(err)
	}
	p, err := doc.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	text, err := p.ExtractText()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Row 7 is fed by run C-7 ≤ 2.4 m, Łódź, Жито.", "turned", "page 1 of 2"} {
		if !strings.Contains(text, want) {
			t.Errorf("page 1 lacks %q in\n%s", want, text)
		}
	}
}

// The file holds no date, in the info dictionary or elsewhere.
func TestNoClock(t *testing.T) {
	if m := regexp.MustCompile(`CreationDate|ModDate|D:\d{8}`).Find(write(t, sampleBook())); m != nil {
		t.Errorf("the file says %q", m)
	}
}

// Independent judge where it is installed: pdffonts of poppler-utils must list
// both weights as embedded, subset and with a map to Unicode, and complain of nothing.
func TestPdffonts(t *testing.T) {
	tool, err := exec.LookPath("pdffonts")
	if err != nil {
		t.Skip("pdffonts is not installed (Debian package poppler-utils)")
	}
	name := filepath.Join(t.TempDir(), "sample.pdf")
	if err := os.WriteFile(name, write(t, sampleBook()), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, name).CombinedOutput()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != 4 {
		t.Fatalf("want a header of two lines and two fonts:\n%s", out)
	}
	for _, l := range lines[2:] {
		if !regexp.MustCompile(`^[A-Z]{6}\+RunproofSans-(Regular|Bold)\s.*\syes yes yes\s`).MatchString(l) {
			t.Errorf("%s", l)
		}
	}
}

func TestEmptyBookIsRefused(t *testing.T) {
	if err := Write(&bytes.Buffer{}, &drawing.Book{Info: drawing.Info{Title: "nothing"}}); err == nil || !strings.Contains(err.Error(), "nothing") {
		t.Error(err)
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWriteErrorIsReported(t *testing.T) {
	if err := Write(fullDisk{}, sampleBook()); err == nil {
		t.Error("a failed write went unnoticed")
	}
}

func BenchmarkWrite(b *testing.B) {
	s := drawing.NewSheet(drawing.A4.Portrait())
	for i := range 10000 {
		s.Rect(drawing.Rect{X: float64(i % 100), Y: float64(i / 100), W: 1, H: 1}, drawing.Pen{}, drawing.Sky)
	}
	book := &drawing.Book{Sheets: []*drawing.Sheet{s}}
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(&bytes.Buffer{}, book); err != nil {
			b.Fatal(err)
		}
	}
}
