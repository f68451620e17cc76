package dossier

import (
	"math"
	"testing"

	"runproof/drawing"
	"runproof/drill"
	"runproof/review"
	"runproof/walk"
)

// A probability is never rounded up to certainty.
func TestSure(t *testing.T) {
	for p, want := range map[float64]string{0: "0.0 %", 0.71: "71.0 %", 0.998: "99.8 %", 0.9994: "> 99.9 %", 0.9999999: "> 99.9 %", 1: "100 %"} {
		if got := sure(p); got != want {
			t.Errorf("sure(%v) = %q, want %q", p, got, want)
		}
	}
}

func TestTimesAreReadable(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{elapsed(0), "0:00:00"},
		{elapsed(3725.4), "1:02:05"},
		{elapsed(90061), "25:01:01"},
		{plainTime("2026-05-12T08:14:03.25Z"), "2026-05-12 08:14:03 UTC"},
		{plainTime("12.5"), "12.5"},
		{hours(1.6667), "1:40 h"},
		{hours(0.99999), "1:00 h"},
		{clockWords(3.25), "3.2 s ahead of"},
		{clockWords(-12.4), "12.4 s behind"},
		{lasted(review.Event{Start: "10", End: "75.5"}), "01:06"},
		{lasted(review.Event{Start: "0", End: "7200", Open: true}), "2:00:00 and on"},
		{lasted(review.Event{Start: "soon", End: "later"}), "?"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// The foot is 0.3048 m and the acre 4046.8564224 m2 exactly (NIST SP 811).
func TestUnitsOfTheReader(t *testing.T) {
	us, metric := unitsOf(drill.US), unitsOf(drill.Metric)
	for _, c := range []struct{ got, want string }{
		{metric.travel(1012.4), "1012 m"},
		{metric.travel(3.456), "3.46 m"},
		{us.travel(304.8), "1000 ft"},
		{metric.ground(53), "53 m²"},
		{us.ground(9.290304), "100 ft²"},
		{metric.ground(142560), "14.26 ha"},
		{us.ground(40468.564224), "10.00 ac"},
		{metric.place(-0.4), "-0.40 m"},
		{us.place(-0.3048), "-1.00 ft"},
		{metric.place(-0.004), "0.00 m"},
		{us.place(-1e-17), "0.00 ft"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// Levels follow the words of their legend; what was not called for is idle whatever was counted.
func TestLevels(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		c    review.Cell
		want level
	}{
		{review.Cell{Level: 1, Work: 1}, usual},
		{review.Cell{Level: 1, Work: 0.2}, idle},
		{review.Cell{Level: nan, Work: 1, Gone: 1}, unknown},
		{review.Cell{Level: nan, Work: 1}, idle},
		{review.Cell{Level: 0, Work: 1}, nearly0},
		{review.Cell{Level: 0.1, Work: 1}, low},
		{review.Cell{Level: 0.5, Work: 1}, lowish},
		{review.Cell{Level: 0.8, Work: 1}, usual},
		{review.Cell{Level: 1.25, Work: 1}, usual},
		{review.Cell{Level: 1.3, Work: 1}, high},
	} {
		if got := levelOf(c.c); got != c.want {
			t.Errorf("%+v: %d, want %d", c.c, got, c.want)
		}
	}
}

// No two states of a family may look alike without their colour, and each has a word.
func TestStatesDifferWithoutColour(t *testing.T) {
	marks := map[drawing.Mark]string{}
	for _, v := range verdicts {
		st := verdictState(v)
		if other, taken := marks[st.Mark]; taken || st.Word == "" || st.Mark == drawing.NoMark {
			t.Errorf("%q looks like %q", st.Word, other)
		}
		marks[st.Mark] = st.Word
	}
	clear(marks)
	for _, k := range review.Kinds() {
		st := kindState(k)
		if other, taken := marks[st.Mark]; taken || st.Word == "" || st.Mark == drawing.NoMark || st.Hatch == drawing.NoHatch {
			t.Errorf("%q looks like %q", st.Word, other)
		}
		marks[st.Mark] = st.Word
	}
	if verdictState(walk.Verdict(99)).Word != "unsure" {
		t.Error("an unknown verdict is not shown as unsure")
	}
}

func TestWhere(t *testing.T) {
	for want, ev := range map[string]review.Event{
		"C-7":         {Kind: review.Blocked, Run: "C-7", Head: "C", Product: "seed", Node: "4103"},
		"head C":      {Kind: review.HeadStarved, Head: "C", Product: "seed"},
		"all of seed": {Kind: review.ProductOut, Product: "seed"},
		"node 4103":   {Kind: review.NoData, Node: "4103", Head: "C", Product: "seed"},
	} {
		if got := where(ev); got != want {
			t.Errorf("%+v: %q, want %q", ev, got, want)
		}
	}
}
