package input

import (
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

func TestFaultText(t *testing.T) {
	for _, c := range []struct {
		fault Fault
		want  string
	}{
		{Fault{Place{"drill.yaml", 14, 9}, "row 49 is out of range", "check rows.count"}, "drill.yaml:14:9: row 49 is out of range; check rows.count"},
		{Fault{Place{"log.csv", 3, 0}, "the clock goes back", ""}, "log.csv:3: the clock goes back"},
		{Fault{Place{File: "x"}, "is empty", ""}, "x: is empty"},
		{Fault{What: "no file is named"}, "no file is named"},
		{Fault{Place{"", 2, 5}, "stray quote", ""}, ":2:5: stray quote"},
	} {
		if got := c.fault.Error(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestFaults(t *testing.T) {
	var fs Faults
	if fs.Err() != nil {
		t.Error("no fault is an error")
	}
	fs.Add(Place{"a", 9, 1}, "", "late")
	fs.Add(Place{"a", 2, 7}, "", "early, %d", 1)
	fs.Add(Place{"a", 2, 7}, "", "early, %d", 2)
	fs.Sort()
	want := "a:2:7: early, 1\na:2:7: early, 2\na:9:1: late"
	if got := fs.Err().Error(); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	var back Faults
	if !errors.As(fmt.Errorf("outer: %w", fs.Err()), &back) || len(back) != 3 {
		t.Error("faults are lost inside an error")
	}
}

func TestNearest(t *testing.T) {
	keys := []string{"rows", "rate_kg_ha", "spacing_m", "speed_mps"}
	for _, c := range []struct {
		word, want string
		ok         bool
	}{
		{"spaceing_m", "spacing_m", true},
		{"ROWS", "rows", true},
		{"rwos", "rows", true}, // one swap
		{"row", "rows", true},
		{"spacing", "spacing_m", true},
		{"colour", "", false},
		{"", "", false},
	} {
		got, ok := Nearest(c.word, keys)
		if ok != c.ok || ok && got != c.want {
			t.Errorf("Nearest(%q) = %q, %v; want %q, %v", c.word, got, ok, c.want, c.ok)
		}
	}
	if _, ok := Nearest("x", nil); ok {
		t.Error("something is near among nothing")
	}
}

func TestDidYouMean(t *testing.T) {
	words := []string{"between", "behind"}
	if got := DidYouMean("behimd", words); got != "did you mean behind?" {
		t.Error(got)
	}
	if got := DidYouMean("in front", words); got != "use between or behind" {
		t.Error(got)
	}
	if got := OneOf(nil) + OneOf([]string{"a"}) + OneOf([]string{"a", "b", "c"}); got != "aa, b or c" {
		t.Error(got)
	}
}

// The distance is a metric on words but for the triangle inequality, which the
// restricted form with swaps does not keep.
func TestEditDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringOfN(rapid.RuneFrom([]rune("abcß")), 0, 8, -1)
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		d := editDistance(a, b)
		if d != editDistance(b, a) {
			t.Fatal("not symmetric")
		}
		if (d == 0) != (a == b) {
			t.Fatalf("distance %d between %q and %q", d, a, b)
		}
		if la, lb := len([]rune(a)), len([]rune(b)); d < max(la, lb)-min(la, lb) || d > max(la, lb) {
			t.Fatalf("distance %d between words of %d and %d letters", d, la, lb)
		}
	})
}

// Worked example of Wagner and Fischer's algorithm as printed in textbooks:
// kitten to sitting takes 3 edits (from memory).
func TestEditDistancePublished(t *testing.T) {
	if d := editDistance("kitten", "sitting"); d != 3 {
		t.Errorf("kitten, sitting: %d", d)
	}
	if d := editDistance("ca", "abc"); d != 3 { // the restricted form; 2 without the restriction
		t.Errorf("ca, abc: %d", d)
	}
}

func ExampleFaults() {
	var fs Faults
	fs.Add(Place{File: "drill.yaml", Line: 14, Col: 9}, "check rows.count or the head's list",
		"head %s feeds row %d, but the drill has %d rows", "C", 49, 48)
	fmt.Println(fs.Err())
	// Output:
	// drill.yaml:14:9: head C feeds row 49, but the drill has 48 rows; check rows.count or the head's list
}
