package export_test

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"runproof/export"
)

// Runs are read and written without a loss: the same bytes.
func TestRunsRoundTrip(t *testing.T) {
	want, err := os.ReadFile("testdata/demo/runs.csv")
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := export.WriteCSV(&got, demoDay(t).Runs()); err != nil || !bytes.Equal(got.Bytes(), want) {
		t.Errorf("%v; wrote\n%.300s", err, got.String())
	}
}

// What is wrong with a folder is told with the file, and the line where there is
// one.
func TestReadRefuses(t *testing.T) {
	for _, c := range []struct{ file, text, want string }{
		{"events.json", "", "day/events.json: is not there; name a folder that runproof review wrote with -o"},
		{"events.json", "{", "day/events.json:1:1: not an events document: unexpected EOF"},
		{"events.json", `{"runproof":"events/1","events":[{"id":1,"kind":"bloked"}]}`, "perhaps blocked"},
		{"summary.json", `{"runproof":"summary/9"}`, `day/summary.json: document is "summary/9", not "summary/1"`},
		{"runs.csv", "run,product\n", "day/runs.csv:1: has no column head"},
		{"runs.csv", strings.Replace(string(dayOf("x")["runs.csv"].Data), ",4103,1,", ",4103,one,", 1), `day/runs.csv:2:19: port "one" is no number`},
		{"runs.csv", strings.Replace(string(dayOf("x")["runs.csv"].Data), "136.00", "NaN", 1), `day/runs.csv:2:37: rate_per_s "NaN" is no number`},
		{"runs.csv", string(dayOf("x")["runs.csv"].Data) + "A-2,\"", `day/runs.csv:3`},
		{"skips.geojson", `{"type":"Feature"}`, `day/skips.geojson: is a GeoJSON "Feature", not a FeatureCollection`},
		{"skips.geojson", feature(7, "Polygon", "[]"), "feature 1 is of event 7, which events.json does not have"},
		{"skips.geojson", feature(1, "Point", "[1,2]"), `feature 1: it is a "Point", not a Polygon or MultiPolygon`},
		{"skips.geojson", feature(1, "Polygon", "[1,2]"), "feature 1: its coordinates are no Polygon"},
		{"skips.geojson", feature(1, "Polygon", "[[[0,91],[1,91],[1,90],[0,91]]]"), "latitude 91 is no place on the Earth"},
		{"skips.geojson", feature(1, "MultiPolygon", "[[]]"), "it has a polygon without a ring"},
		{"skips.geojson", feature(1, "MultiPolygon", "[[[]]]"), "it has no position"},
	} {
		folder := dayOf("x", oddEvent{"blocked", "A-1", "A", "seed", "", 1, nil})
		folder[c.file] = &fstest.MapFile{Data: []byte(c.text)}
		if c.text == "" {
			delete(folder, c.file)
		}
		if _, err := export.Read(folder, "day"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %.60s: %v, want %s", c.file, c.text, err, c.want)
		}
	}
}

func feature(event int, kind, coordinates string) string {
	return `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"` + kind + `","coordinates":` + coordinates + `},"properties":{"event":` + string(rune('0'+event)) + `}}]}`
}

// A day whose events have no place says so; one of which a part has none says how
// many.
func TestNotes(t *testing.T) {
	blind := oddEvent{"blocked", "A-1", "A", "seed", "", 1, nil}
	placed := oddEvent{"blocked", "A-2", "A", "seed", "", 1, []export.Ring{strip(51, 7, 0.25, 2, steady(0, 5)...)}}
	for _, c := range []struct {
		events    []oddEvent
		placeless bool
		want      string
	}{
		{nil, false, ""},
		{[]oddEvent{{"noisy", "A-1", "A", "seed", "", 0, nil}}, false, ""},
		{[]oddEvent{blind}, true, "the recording carries no positions"},
		{[]oddEvent{blind, placed}, false, "1 of 2 events that left ground short of product have no place"},
		{[]oddEvent{placed}, false, ""},
		{[]oddEvent{{"blocked", "A-2", "A", "seed", "", 1, []export.Ring{{{0, 0}, {2e-5, 2e-5}, {2e-5, 0}, {0, 2e-5}, {1e-5, 3e-5}, {0, 0}}}}}, false, "ground of event 1 crosses itself"},
	} {
		day, err := export.Read(dayOf("x", c.events...), "day")
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(day.Notes, "; "); !strings.HasPrefix(got, c.want) || (c.want == "") != (got == "") || day.Placeless() != c.placeless {
			t.Errorf("%v: %q, placeless %v", c.events, got, day.Placeless())
		}
	}
}

// A strip begins in the middle between its first two places: the ring of review
// goes out along the right edge.
func TestStart(t *testing.T) {
	day, err := export.Read(dayOf("x", oddEvent{"blocked", "A-2", "A", "seed", "", 1, []export.Ring{strip(-16.5, 180, 3, 5, steady(0, 5)...)}}), "day")
	if err != nil {
		t.Fatal(err)
	}
	at := day.Short[0].Start
	if (at[0] != 180 && at[0] != -180) || at[1] != -16.5 {
		t.Errorf("starts at %v", at)
	}
}

// FuzzRead reads whatever stands in the four files, and what it took it can write.
func FuzzRead(f *testing.F) {
	for _, folder := range []fstest.MapFS{dayOf("calm"), dayOf("one", oddEvent{"blocked", "A-1", "A", "seed", "x", 1, []export.Ring{strip(51, 180, 3, 5, 0, 40, 80, 120, 200)}})} {
		f.Add(folder["events.json"].Data, folder["runs.csv"].Data, folder["skips.geojson"].Data, folder["summary.json"].Data)
	}
	f.Fuzz(func(t *testing.T, events, runs, skips, summary []byte) {
		day, err := export.Read(fstest.MapFS{
			"events.json": {Data: events}, "runs.csv": {Data: runs}, "skips.geojson": {Data: skips}, "summary.json": {Data: summary},
		}, "day")
		if err != nil {
			return
		}
		for _, w := range forms {
			written(t, w, day)
		}
	})
}
