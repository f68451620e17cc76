package kml

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"runproof/export"
	"runproof/review"
)

// layer is one event with what the test puts in.
func layer(kind, run, start, end, sentence string) export.Layer {
	at := export.Position{-106.5, 52}
	return export.Layer{
		Name: "events", Geometry: export.Point,
		Fields: []export.Field{{Name: "kind"}, {Name: "run"}, {Name: "start"}, {Name: "end"}, {Name: "sentence"}},
		Features: []export.Feature{
			{Cells: []any{kind, run, start, end, sentence}, At: &at},
			{Cells: []any{kind, run, start, end, sentence}},
		},
	}
}

func textOf(t *testing.T, l export.Layer) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, `a <b> & "c" 🌾`+"\x01", l); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(bytes.NewReader(b.Bytes()))
	for {
		if _, err := d.Token(); err == io.EOF {
			return b.String()
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

// What has a date has a time span, what has seconds has none; a feature without a
// place is left out; what XML cannot hold goes.
func TestWrite(t *testing.T) {
	text := textOf(t, layer("head_starved", "C-7", "2026-05-12T08:00:00.5Z", "2026-05-12T09:00:00Z", "a\x00b < c"))
	for _, want := range []string{
		"<begin>2026-05-12T08:00:00Z</begin>", "<end>2026-05-12T09:00:00Z</end>", "<name>C-7 head starved</name>", "#head_starved",
		"<coordinates>-106.5,52</coordinates>", "<description>ab &lt; c</description>", "a &lt;b&gt; &amp; &#34;c&#34; 🌾<",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s in\n%s", want, text)
		}
	}
	if n := strings.Count(text, "<Placemark>"); n != 1 {
		t.Errorf("%d placemarks", n)
	}
	if text := textOf(t, layer("blocked", "", "12.5", "14", "")); strings.Contains(text, "TimeSpan") || !strings.Contains(text, "<name>blocked</name>") {
		t.Errorf("seconds have a date:\n%s", text)
	}
}

// Every kind of event has a look of its own.
func TestEveryKindHasALook(t *testing.T) {
	seen := map[any]bool{}
	for _, k := range review.Kinds() {
		lk, ok := look[k]
		if !ok || seen[lk] {
			t.Errorf("%s: %v", k, lk)
		}
		seen[lk] = true
	}
}
