package fit

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestSerialOrder(t *testing.T) {
	want := []string{"1", "2", "10", "010", "980", "4103", "99999999999999999999998", "99999999999999999999999", "A-2", "A-10", "B", "N1", "N2", "N2a", "N2b", "N10"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, CompareSerials)
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// The order is one: it does not depend on where two serials stand, different
// serials are never equal, and it goes on through a third.
func TestSerialOrderIsTotal(t *testing.T) {
	word := rapid.StringMatching(`[0-9aB.]{1,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := word.Draw(t, "a"), word.Draw(t, "b"), word.Draw(t, "c")
		ab := CompareSerials(a, b)
		if ab != -CompareSerials(b, a) {
			t.Fatalf("%s, %s: %d one way, %d the other", a, b, ab, CompareSerials(b, a))
		}
		if (ab == 0) != (a == b) {
			t.Fatalf("%s and %s compare %d", a, b, ab)
		}
		if ab <= 0 && CompareSerials(b, c) <= 0 && CompareSerials(a, c) > 0 {
			t.Fatalf("%s <= %s <= %s, but not %s <= %s", a, b, c, a, c)
		}
	})
}

func TestReadSerials(t *testing.T) {
	got, err := ReadSerials(strings.NewReader("\ufeff4107\r\n\n# spare\n  4103 \nN2\n"), "s.txt")
	if err != nil || !slices.Equal(got, []string{"4103", "4107", "N2"}) {
		t.Errorf("got %v, %v", got, err)
	}
	_, err = ReadSerials(strings.NewReader("4103\nab cd\n4103\nx:1\nsec\n4107,4108\n"+strings.Repeat("9", 41)), "s.txt")
	want := `s.txt:2:1: serial "ab cd" has a space in it; write one serial a line, as it stands on the box
s.txt:3:1: serial 4103 stands on line 1 already; write each node's own
s.txt:4:1: serial "x:1" has ':' in it; write one serial a line, as it stands on the box
s.txt:5:1: serial "sec" means a section in a flow log; write one serial a line, as it stands on the box
s.txt:6:1: serial "4107,4108" has ',' in it; write one serial a line, as it stands on the box
s.txt:7:1: serial "99999999999999999999999999999999999999999" is too long; write one serial a line, as it stands on the box`
	if err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
	if _, err := ReadSerials(strings.NewReader(strings.Repeat("9", 1<<17)), "s.txt"); err == nil || !strings.Contains(err.Error(), "far longer than a serial") {
		t.Errorf("an endless line: %v", err)
	}
}

func TestNumberedSerialsAscend(t *testing.T) {
	s := NumberedSerials(120)
	if !slices.IsSortedFunc(s, CompareSerials) || s[0] != "N1" || s[119] != "N120" {
		t.Error(s)
	}
}
