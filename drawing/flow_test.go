package drawing

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func rows(n int) [][]Cell {
	var out [][]Cell
	for i := range n {
		out = append(out, Cells(fmt.Sprintf("row-%d", i), "12"))
	}
	return out
}

func countText(b *Book, want func(string) bool) int {
	n := 0
	for _, s := range b.Sheets {
		for _, t := range s.Texts() {
			if want(t) {
				n++
			}
		}
	}
	return n
}

func TestTableRepeatsItsHeaderAndLosesNoRow(t *testing.T) {
	for _, c := range []struct{ n, columns int }{{0, 1}, {1, 1}, {40, 1}, {400, 1}, {400, 3}, {7, 3}} {
		f := NewFlow(Info{Title: "t"}, A4.Portrait(), 15)
		f.Columns(c.columns)
		f.Table(Table{Columns: []Column{{Title: "what"}, {Title: "number", Align: Right}}, Rows: rows(c.n)})
		b := f.Close("foot")
		if got := countText(b, func(s string) bool { return strings.HasPrefix(s, "row-") }); got != c.n {
			t.Errorf("%+v: %d rows drawn", c, got)
		}
		for i, s := range b.Sheets {
			if !slices.Contains(s.Texts(), "what") {
				t.Errorf("%+v: page %d has no header", c, i+1)
			}
		}
	}
}

func TestNothingLeavesThePage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.SampledFrom([]Size{A4.Portrait(), A4.Landscape(), Letter.Portrait(), Letter.Landscape()}).Draw(t, "size")
		f := NewFlow(Info{Title: "t"}, size, 15)
		for range rapid.IntRange(1, 12).Draw(t, "blocks") {
			switch rapid.IntRange(0, 6).Draw(t, "kind") {
			case 0:
				f.Heading(strings.Repeat("heading ", rapid.IntRange(1, 20).Draw(t, "words")))
			case 1:
				f.Paragraph(strings.Repeat("some words of text ", rapid.IntRange(0, 90).Draw(t, "words")))
			case 2:
				f.Table(Table{Columns: []Column{{Title: "what"}, {Title: "n", Align: Right}, {Title: "more"}}, Rows: rows(rapid.IntRange(0, 80).Draw(t, "rows"))})
			case 3:
				f.Columns(rapid.IntRange(1, 4).Draw(t, "columns"))
			case 4:
				s, r := f.Area(rapid.Float64Range(1, 120).Draw(t, "height"))
				s.Rect(r, Thin, Tint)
			case 5:
				f.Item("1", strings.Repeat("a caution ", rapid.IntRange(1, 60).Draw(t, "words")))
			case 6:
				f.Turn(A4.Landscape())
			}
		}
		for i, s := range f.Close("foot").Sheets {
			checkInside(t, i, s)
		}
	})
}

// checkInside fails if text or a point of a path is beyond the sheet's edge.
func checkInside(t *rapid.T, page int, s *Sheet) {
	in := s.Bounds()
	for _, item := range s.Items {
		switch v := item.(type) {
		case Text:
			left, w := v.At.X, v.Style.WidthMM(v.Text)
			if v.Style.Align == Right {
				left -= w
			}
			if !inRect(v.At, in) || left < 0 || left+w > in.Right() {
				t.Fatalf("page %d: %q leaves the page", page+1, v.Text)
			}
		case Path:
			for _, l := range v.Lines {
				for _, p := range l {
					if !inRect(p, in) {
						t.Fatalf("page %d: a line leaves the page at %v", page+1, p)
					}
				}
			}
		}
	}
}

func TestColumnWidthsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "columns")
		natural, least := make([]float64, n), make([]float64, n)
		sum := 0.0
		for i := range natural {
			least[i] = rapid.Float64Range(1, 30).Draw(t, "least")
			natural[i] = least[i] + rapid.Float64Range(0, 60).Draw(t, "more")
			sum += natural[i]
		}
		w := rapid.Float64Range(20, 300).Draw(t, "width")
		got, stretch := 0.0, rapid.Bool().Draw(t, "stretch")
		for i, x := range share(natural, least, w, stretch) {
			if got += x; x > natural[i]+1e-6 && sum > w {
				t.Fatalf("column %d grew though there is no room", i)
			}
		}
		want := min(sum, w)
		if stretch {
			want = w
		}
		if !near(got, want, 1e-6) {
			t.Fatalf("columns take %v, want %v", got, want)
		}
	})
}

func TestBookmarksAndPageNumbers(t *testing.T) {
	f := NewFlow(Info{Title: "t"}, Letter.Portrait(), 15)
	f.Title("Part one")
	f.Heading("First")
	f.NewPage()
	f.Title("Part two")
	b := f.Close("foot")
	var got []string
	for i, s := range b.Sheets {
		for _, m := range s.Bookmarks {
			got = append(got, fmt.Sprintf("%d %d %s", i, m.Level, m.Title))
		}
	}
	if want := "0 0 Part one|0 1 First|1 0 Part two"; strings.Join(got, "|") != want {
		t.Errorf("%q, want %q", got, want)
	}
	if !slices.Contains(b.Sheets[1].Texts(), "page 2 of 2") {
		t.Errorf("no page number in %q", b.Sheets[1].Texts())
	}
}

func TestTurnReplacesAnEmptyPage(t *testing.T) {
	f := NewFlow(Info{}, A4.Portrait(), 15)
	f.Turn(A4.Landscape())
	f.Paragraph("x")
	f.Turn(A4.Portrait())
	f.Paragraph("y")
	if n := len(f.Close("").Sheets); n != 2 {
		t.Errorf("%d pages, want 2", n)
	}
}

func TestPaperText(t *testing.T) {
	for _, p := range []Paper{A4, Letter} {
		var q Paper
		if err := q.UnmarshalText([]byte(p.String())); err != nil || q != p {
			t.Errorf("%v: %v %v", p, q, err)
		}
	}
	if err := new(Paper).UnmarshalText([]byte("a3")); err == nil || !strings.Contains(err.Error(), "a4 or letter") {
		t.Errorf("a3: %v", err)
	}
}
