package yard

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"pgregory.net/rapid"

	"runproof/drawing"
	"runproof/drill"
)

// raster fills the closed outlines of a path even-odd on a white ground, pxPerMM
// pixels to a millimetre: an independent look at what is drawn.
func raster(p drawing.Path, size drawing.Size, pxPerMM float64) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, int(size.WMM*pxPerMM), int(size.HMM*pxPerMM)))
	for y := range img.Rect.Dy() {
		var xs []float64
		at := (float64(y) + 0.5) / pxPerMM
		for _, ring := range p.Lines {
			for i, a := range ring {
				b := ring[(i+1)%len(ring)]
				if (a.Y <= at) != (b.Y <= at) {
					xs = append(xs, a.X+(at-a.Y)/(b.Y-a.Y)*(b.X-a.X))
				}
			}
		}
		slices.Sort(xs)
		for x := range img.Rect.Dx() {
			n, _ := slices.BinarySearch(xs, (float64(x)+0.5)/pxPerMM)
			img.SetGray(x, y, color.Gray{Y: uint8(255 * (1 - n%2))})
		}
	}
	return img
}

// decode reads a QR code with a decoder that shares nothing with the encoder
// (a port of ZXing).
func decode(img image.Image) (string, error) {
	bmp, err := gozxing.NewBinaryBitmapFromImage(img)
	if err != nil {
		return "", err
	}
	res, err := qrcode.NewQRCodeReader().Decode(bmp, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_PURE_BARCODE: true})
	if err != nil {
		return "", err
	}
	return res.GetText(), nil
}

// TestCodesCanBeRead draws codes of many texts and reads them back.
func TestCodesCanBeRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Code{
			Job:  rapid.StringN(0, jobMax, -1).Draw(t, "job"),
			Node: rapid.StringMatching(`[A-Za-z0-9_.-]{1,12}`).Draw(t, "node"),
			Port: rapid.IntRange(0, 128).Draw(t, "port"),
			Run:  drill.RunID(rapid.StringMatching(`([A-Z]{1,2}-[1-9][0-9]?)?`).Draw(t, "run")),
		}
		k, err := new(codes).of(c.String())
		if err != nil {
			t.Fatal(err)
		}
		s := drawing.NewSheet(drawing.Size{WMM: 30, HMM: 30})
		k.draw(s, s.Bounds())
		text, err := decode(raster(s.Items[0].(drawing.Path), s.Size, 12))
		if err != nil || text != c.String() {
			t.Fatalf("%q reads as %q (%v)", c, text, err)
		}
		if back, err := ParseCode(text); err != nil || back != c {
			t.Fatalf("%+v comes back as %+v (%v)", c, back, err)
		}
	})
}

// The example of the package's comment, and texts that a reader must refuse.
func TestCodeText(t *testing.T) {
	c := Code{Job: "North Quarter", Node: "4103", Port: 7, Run: "A-7"}
	if got := c.String(); got != "RP1;job=North Quarter;node=4103;port=7;run=A-7" {
		t.Error(got)
	}
	if got := (Code{Job: "Süd;1=2%"}).String(); got != "RP1;job=S%C3%BCd%3B1%3D2%25" {
		t.Error(got)
	}
	if c, err := ParseCode("RP1;colour=red;node=1"); err != nil || c.Node != "1" {
		t.Errorf("an unknown key is not passed over: %v, %v", c, err)
	}
	for _, bad := range []string{"", "RP2;node=1", "RP1;node", "RP1;node=%4", "RP1;node=%zz", "RP1;port=seven", "RP1;port=0"} {
		if _, err := ParseCode(bad); err == nil {
			t.Errorf("%q is taken for a code", bad)
		}
	}
}

func FuzzParseCode(f *testing.F) {
	f.Add("RP1;job=North Quarter;node=4103;port=7;run=A-7")
	f.Add("RP1;job=%C3%BC;leg=L3;end=J1")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCode(text)
		if err != nil {
			return
		}
		if back, err := ParseCode(c.String()); err != nil || back != c {
			t.Fatalf("%q: %+v, then %+v (%v)", text, c, back, err)
		}
	})
}

// drawnLabel is a label as it was drawn: its texts and its code.
type drawnLabel struct {
	texts []drawing.Text
	code  drawing.Path
	text  string // what the code was said to be
}

func drawnLabels(b *drawing.Book) []drawnLabel {
	var out []drawnLabel
	for _, s := range b.Sheets {
		for _, item := range s.Items {
			switch v := item.(type) {
			case drawing.Tag:
				if !v.Close {
					out = append(out, drawnLabel{text: v.Title})
				}
			case drawing.Path:
				out[len(out)-1].code = v
			case drawing.Text:
				out[len(out)-1].texts = append(out[len(out)-1].texts, v)
			}
		}
	}
	return out
}

// TestEveryRunHasTwoLabels: one for either end, with the right port, on every
// drill; each node and junction has one, each leg and the switch lead two.
func TestEveryRunHasTwoLabels(t *testing.T) {
	for _, c := range drill.Cases() {
		f := whole(c.Drill)
		count := map[string]int{}
		for _, l := range drawnLabels(paper(t, Input{Fit: f, Job: "J"}, "labels")) {
			code, err := ParseCode(l.text)
			if err != nil {
				t.Fatal(err)
			}
			count[fmt.Sprint(l.texts[0].Text, " ", code.Node, ":", code.Port, " ", code.Run, code.Leg)]++
			if code.Run != "" && l.texts[1].Text != fmt.Sprintf("%s:%d", code.Node, code.Port) {
				t.Errorf("%s: label %s says %s, its code %s", c.Name, l.texts[0].Text, l.texts[1].Text, l.text)
			}
		}
		want := map[string]int{}
		for _, l := range f.Map {
			want[fmt.Sprint(l.Run, " ", l.Ref(), " ", l.Run)] += 2
		}
		for _, n := range f.Nodes {
			want[n.Serial+" "+n.Serial+":0 "]++
		}
		for _, l := range f.Harness.Legs {
			want[l.ID+" :0 "+l.ID] += 2
		}
		want["J1 :0 "]++
		want["switch "+f.WorkSwitch.Node+":0 "] += 2
		for k, n := range want {
			if count[k] != n {
				t.Errorf("%s: %q on %d labels, want %d", c.Name, k, count[k], n)
			}
		}
		if len(count) != len(want) {
			t.Errorf("%s: %d kinds of label, want %d", c.Name, len(count), len(want))
		}
	}
}

// TestLabelsOfEverySize reads every code of a drill back from its labels and
// checks the rule of the text: capitals of at least 1/200 of 1 m.
func TestLabelsOfEverySize(t *testing.T) {
	for _, name := range append(LabelSheets(), "90x40", "50x30,4x9", "2.5x1.25in,3x8,0.2,0.3,0.1,0.05") {
		size, err := ParseLabels(name, drawing.A4)
		if err != nil {
			t.Fatal(err)
		}
		book := paper(t, Input{Fit: whole(drill.Cases()[4].Drill), Labels: size}, "labels")
		checkPages(t, name, book)
		for i, l := range drawnLabels(book) {
			if cap := l.texts[0].Style.CapMM(); cap < 1000./200-1e-6 {
				t.Errorf("%s: %q has capitals of %.2f mm", name, l.texts[0].Text, cap)
			}
			if i%9 != 0 { // each takes a while
				continue
			}
			img, zone := cropped(l.code, 12)
			if text, err := decode(img); err != nil || text != l.text {
				t.Errorf("%s: the code of %q reads %q (%v)", name, l.text, text, err)
			}
			for _, v := range l.texts {
				if o := overlap(inkOf(v), zone); o > 0 {
					t.Errorf("%s: %q reaches %.2f mm into the quiet zone of its code", name, v.Text, o)
				}
			}
		}
	}
}

// cropped is a code as an image with its quiet zone, and that zone on the sheet. A
// finder pattern is seven modules wide (ISO/IEC 18004), which gives the module.
func cropped(p drawing.Path, pxPerMM float64) (*image.Gray, drawing.Rect) {
	lo, hi := drawing.Point{X: math.Inf(1), Y: math.Inf(1)}, drawing.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, ring := range p.Lines {
		for _, q := range ring {
			lo = drawing.Point{X: math.Min(lo.X, q.X), Y: math.Min(lo.Y, q.Y)}
			hi = drawing.Point{X: math.Max(hi.X, q.X), Y: math.Max(hi.Y, q.Y)}
		}
	}
	finder := 0.0
	for _, q := range p.Lines[0] {
		finder = math.Max(finder, q.X-lo.X)
	}
	quiet := 4 * finder / 7
	moved := drawing.Path{Closed: true}
	for _, ring := range p.Lines {
		var m []drawing.Point
		for _, q := range ring {
			m = append(m, q.Add(quiet-lo.X, quiet-lo.Y))
		}
		moved.Lines = append(moved.Lines, m)
	}
	zone := drawing.Rect{X: lo.X - quiet, Y: lo.Y - quiet, W: hi.X - lo.X + 2*quiet, H: hi.Y - lo.Y + 2*quiet}
	return raster(moved, drawing.Size{WMM: zone.W, HMM: zone.H}, pxPerMM), zone
}

func TestSkippedLabels(t *testing.T) {
	f := bare(drill.Cases()[0].Drill) // one node, one run: three labels
	size, _ := ParseLabels("70x37", drawing.A4)
	first := func(skip int) (drawing.Point, int) {
		b := paper(t, Input{Fit: f, Labels: size, Skip: skip}, "labels")
		return drawnLabels(b)[0].texts[0].At, len(b.Sheets)
	}
	at0, pages0 := first(0)
	at4, _ := first(4)
	_, pages22 := first(22)
	if math.Abs(at4.X-at0.X-70) > 1e-9 || math.Abs(at4.Y-at0.Y-37) > 1e-9 || pages0 != 1 || pages22 != 2 {
		t.Errorf("label 5 at %v, label 1 at %v; %d and %d sheets", at4, at0, pages0, pages22)
	}
	for _, skip := range []int{-1, 24, 100} {
		if _, err := Sheets(Input{Fit: f, Labels: size, Skip: skip}); err == nil {
			t.Errorf("%d labels are skipped of 24", skip)
		}
	}
}

// An inch is 25.4 mm exactly.
func TestParseLabels(t *testing.T) {
	for _, c := range []struct {
		text  string
		paper drawing.Paper
		each  int
		last  drawing.Rect
	}{
		{"", drawing.A4, 21, drawing.Rect{X: 7.21 + 2*66.04, Y: 15.15 + 6*38.1, W: 63.5, H: 38.1}},
		{"4x2in", drawing.Letter, 10, drawing.Rect{X: 3.96875 + 106.3625, Y: 12.7 + 4*50.8, W: 101.6, H: 50.8}},
		{"62x29", drawing.A4, 1, drawing.Rect{W: 62, H: 29}},
		{"80x40", drawing.A4, 1, drawing.Rect{W: 80, H: 40}},
		{"100x50,2x5", drawing.A4, 10, drawing.Rect{X: 105, Y: 23.5 + 200, W: 100, H: 50}},
		{"3x2in,2x4,0.5,1,0.25,0", drawing.Letter, 8, drawing.Rect{X: 12.7 + 82.55, Y: 25.4 + 3*50.8, W: 76.2, H: 50.8}},
	} {
		l, err := ParseLabels(c.text, c.paper)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		got := l.place(l.each() - 1)
		if l.each() != c.each || math.Abs(got.X-c.last.X)+math.Abs(got.Y-c.last.Y)+math.Abs(got.W-c.last.W)+math.Abs(got.H-c.last.H) > 1e-9 {
			t.Errorf("%q: %d labels, the last at %+v, want %d, %+v", c.text, l.each(), got, c.each, c.last)
		}
	}
	for _, bad := range []string{"big", "0x10", "70x", "70x37,3", "70x37,3x9", "70x37,3.5x2", "70x37,3x8,1", "70x37,2x2,a,1", "500x10", "10x10,99x99", "-70x37", "70x37,3x8,0,0,0,0,0", "NaNxNaN"} {
		if _, err := ParseLabels(bad, drawing.A4); err == nil || !strings.Contains(err.Error(), "63.5x38.1") {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

func TestLabelsThatAreTooSmallAreRefused(t *testing.T) {
	for _, name := range []string{"20x10", "60x12", "30x30"} {
		size, err := ParseLabels(name, drawing.A4)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Sheets(Input{Fit: bare(drill.Cases()[0].Drill), Labels: size}); err == nil || !strings.Contains(err.Error(), "too small") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
