package views_test

import (
	"strings"
	"testing"

	"runproof/align"
	"runproof/drawing"
	"runproof/views"
)

// TestOffsetPicture: what is taken stands at the top of the curve, the usual flow
// lies on the usual speed, and an answer without a picture draws its title.
func TestOffsetPicture(t *testing.T) {
	o := &align.Offset{S: 12, LowS: 11, HighS: 13, Peaks: []align.Peak{{OffsetS: 12, Nats: 40}}}
	for x := -100.0; x <= 100; x += 4 {
		o.Picture.Curve = append(o.Picture.Curve, align.Peak{OffsetS: x, Nats: max(0, 40-(x-12)*(x-12))})
	}
	o.Picture.StepS = 1
	for i := range 60 {
		o.Picture.SpeedMPS = append(o.Picture.SpeedMPS, 2)
		o.Picture.Flow = append(o.Picture.Flow, float64(min(1, i/10)))
	}
	s := views.Offset(o)
	words := strings.Join(s.Texts(), "|")
	for _, want := range []string{"Offset +12.00 s", "taken", "evidence [nats]", "speed of the position log", "1970-01-01", "unsure"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not on the sheet: %s", want, words)
		}
	}
	ends := map[string]drawing.Point{}
	name := ""
	for _, it := range s.Items {
		switch it := it.(type) {
		case drawing.Tag:
			name = it.ID
		case drawing.Path:
			if line := it.Lines[len(it.Lines)-1]; name == "speed" || name == "flow" {
				ends[name] = line[len(line)-1]
			}
			name = ""
		}
	}
	if len(ends) != 2 || ends["speed"] != ends["flow"] {
		t.Errorf("ends %v", ends)
	}
	if n := len(views.Offset(&align.Offset{}).Texts()); n != 1 {
		t.Errorf("%d texts on an empty picture", n)
	}
}
