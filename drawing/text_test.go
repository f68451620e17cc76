package drawing

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Widths follow from the advances of font_test.go: 0.497 em a figure, 1 em = 10 pt = 3.5278 mm.
func TestWidthMM(t *testing.T) {
	got := TextStyle{SizePT: 10}.WidthMM("2026")
	if want := 4 * 0.497 * 10 * 25.4 / 72; !near(got, want, 1e-9) {
		t.Errorf("width %v mm, want %v", got, want)
	}
}

func near(a, b, tol float64) bool { return a-b <= tol && b-a <= tol }

func TestWrapKeepsEveryWordInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOf(rapid.StringMatching(`[A-Za-z0-9é]{1,12}`)).Draw(t, "words"), " ")
		w := rapid.Float64Range(3, 80).Draw(t, "width")
		st := TextStyle{SizePT: 9}
		lines := st.Wrap(text, w)
		for _, l := range lines {
			if st.WidthMM(l) > w && len([]rune(l)) > 1 {
				t.Fatalf("%q is wider than %v mm", l, w)
			}
		}
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(text, " ", "") {
			t.Fatalf("wrap lost text: %q from %q", got, text)
		}
	})
}

func TestWrap(t *testing.T) {
	st := TextStyle{SizePT: 10}
	for _, c := range []struct {
		in   string
		w    float64
		want string
	}{
		{"", 50, ""},
		{"one\ntwo", 50, "one|two"},
		{"  a   b  ", 50, "a b"},
		{"0000000000", 5.3, "000|000|000|0"}, // a figure is 1.753 mm
		{"at 12\u00a0m", 8, "at|12\u00a0m"},  // a no-break space holds
		{"ab", 0, "a|b"},                     // never an endless loop
		{"\xff\xfe", 50, "\xff\xfe"},
	} {
		if got := strings.Join(st.Wrap(c.in, c.w), "|"); got != c.want {
			t.Errorf("Wrap(%q, %v) = %q, want %q", c.in, c.w, got, c.want)
		}
	}
}

func TestFitCutsWithAnEllipsis(t *testing.T) {
	st := TextStyle{SizePT: 10}
	if got := st.Fit("short", 100); got != "short" {
		t.Errorf("%q", got)
	}
	got := st.Fit("a very long name of a drill", 20)
	if !strings.HasSuffix(got, "…") || st.WidthMM(got) > 20 {
		t.Errorf("%q is %v mm", got, st.WidthMM(got))
	}
	if got := st.Fit("anything", 0.1); got != "" {
		t.Errorf("%q", got)
	}
}

func TestTextIsMadeSafe(t *testing.T) {
	s := NewSheet(Size{10, 10})
	s.Text(Point{}, " a\tb\n c\xff ", TextStyle{})
	s.Text(Point{}, "  ", TextStyle{})
	if got := s.Texts(); len(got) != 1 || got[0] != "a b c?" {
		t.Errorf("%q", got)
	}
}

// Contrast values of WCAG 2.1, (L1 + 0.05)/(L2 + 0.05): text needs 4.5 on its
// ground. Luminance of pure colours: the coefficients themselves.
func TestInksCanBeRead(t *testing.T) {
	if !near(Black.Luminance(), 0, 0) || !near(Ink(0).Luminance(), 0, 0) {
		t.Error("black is not dark")
	}
	for _, k := range []Ink{Dark, Soft, Accent} {
		for _, g := range []Ink{Ground, Tint, Zebra} {
			if c := (g.Luminance() + 0.05) / (k.Luminance() + 0.05); c < 4.5 {
				t.Errorf("%v on %v: contrast %.2f, want 4.5", k, g, c)
			}
		}
	}
	for k := Ground; k < inks; k++ { // hatch lines are graphics: 3
		a, b := k.Luminance()+0.05, k.Over().Luminance()+0.05
		if c := max(a, b) / min(a, b); c < 3 {
			t.Errorf("hatch on %v: contrast %.2f, want 3", k, c)
		}
	}
}

func TestInkNames(t *testing.T) {
	if Vermillion.String() != "#d55e00" || NoInk.String() != "none" || Ink(200).String() != "none" { // Okabe and Ito's table
		t.Error(Vermillion, NoInk, Ink(200))
	}
}
