package font

import (
	"strings"
	"testing"
)

func TestFiguresAreTabular(t *testing.T) {
	for w, want := range map[Weight]float64{Regular: 0.497, Bold: 0.528} { // hmtx of Source Sans 3, read with fontTools 4.38
		for d := '0'; d <= '9'; d++ {
			if got := w.Width(string(d)); got != want {
				t.Errorf("weight %v: %c is %v wide, want %v", w, d, got, want)
			}
		}
	}
}

// Advances of a word, read with fontTools 4.38 (hmtx of the file itself):
// R 569, u 544, n 547, p 555, r 347, o 542, o 542, f 292.
func TestWidthIsSumOfAdvances(t *testing.T) {
	if got, want := Regular.Width("Runproof"), 3.938; got != want {
		t.Errorf("width %v, want %v", got, want)
	}
	if Regular.Width("") != 0 {
		t.Error("an empty text has a width")
	}
}

func TestSignsOfTheTrade(t *testing.T) {
	const need = "∞Ω\u2126₂≤≥≈→←↑↓✓☐×±°²³µ–—·½ØÄÖÜßéñŁęčřЖдїΩδ\u2011\u202f\u00a0“”‘’…"
	for _, w := range []Weight{Regular, Bold} {
		for _, r := range need {
			if !w.Has(r) {
				t.Errorf("weight %v lacks %q", w, r)
			}
		}
	}
	if Regular.Has('漢') || Regular.Has('\n') {
		t.Error("claims characters that it has not")
	}
}

func TestAbsentCharacterHasTheBoxWidth(t *testing.T) {
	if w := Regular.Width("漢字"); w <= 0 || w != 2*Regular.Width("漢") {
		t.Errorf("width %v", w)
	}
}

func TestLicenceTravelsWithTheFont(t *testing.T) {
	if !strings.Contains(Licence(), "SIL Open Font License, Version 1.1") {
		t.Error("licence text is missing")
	}
}
