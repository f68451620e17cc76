package dossier

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"

	"runproof/drawing"
	"runproof/drill"
	"runproof/review"
)

func TestEveryDrillMakesAReport(t *testing.T) {
	for _, c := range drill.Cases() {
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			day := fixtureDay(fixture(c.Drill))
			day.Paper = paper
			b := Report(day)
			checkReport(t, fmt.Sprintf("%s, %v", c.Name, paper), b.Sheets)
			texts := pageTexts(b)
			for _, ev := range day.Review.Events {
				if !slices.Contains(texts, strconv.Itoa(ev.ID)) || !slices.Contains(texts, fmt.Sprintf("%d %s", ev.ID, where(ev))) {
					t.Errorf("%s: event %d is not in table and picture", c.Name, ev.ID)
				}
			}
		}
	}
}

// checkReport is checkSheets for a report; over the raster the events' names
// may meet where events do, so there only the edge of the page counts.
func checkReport(t *testing.T, name string, sheets []*drawing.Sheet) {
	t.Helper()
	for i, s := range sheets {
		raster := slices.ContainsFunc(s.Texts(), func(x string) bool { return strings.HasPrefix(x, "Runs by time") })
		if !raster {
			checkSheets(t, fmt.Sprintf("%s, sheet %d", name, i+1), []*drawing.Sheet{s})
			continue
		}
		for _, item := range s.Items {
			if p, ok := item.(drawing.Path); ok {
				checkPath(t, name, i+1, s, p)
			}
		}
	}
}

func TestReportIsValidAndTheSameTwice(t *testing.T) {
	day := fixtureDay(fixture(drill.Cases()[3].Drill))
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WriteReport(w, day); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same day gave other bytes")
	}
	if err := api.Validate(bytes.NewReader(a.Bytes()), nil); err != nil { // independent judge: pdfcpu v0.15.0
		t.Error(err)
	}
}

// Days that lack something still make a report that says so.
func TestThinDays(t *testing.T) {
	f := fixture(drill.Cases()[0].Drill)
	for name, c := range map[string]struct {
		change func(*review.Result)
		want   string
	}{
		"nothing wrong": {func(r *review.Result) { r.Events = nil }, "Nothing wrong was found in what was recorded."},
		"no positions":  {func(r *review.Result) { r.Track, r.Skips = nil, nil }, "The recording carries no positions, so there is no map."},
		"no picture":    {func(r *review.Result) { r.Picture = review.Picture{} }, "Events"},
		"no runs":       {func(r *review.Result) { r.Runs = nil }, "Events"},
		"one point":     {func(r *review.Result) { r.Track = [][][2]float64{{{5, 5}}} }, "Map of the skips"},
		"empty":         {func(r *review.Result) { *r = review.Result{} }, "Nothing wrong was found in what was recorded."},
		"log's own zero": {func(r *review.Result) {
			r.Summary.Start, r.Summary.End, r.Picture.StartNS = "0", "6000", 0
			for i := range r.Events {
				r.Events[i].Start, r.Events[i].End = "600", "660.5"
			}
		}, "time of the recording, h:min"},
	} {
		day := fixtureDay(f)
		c.change(day.Review)
		b := Report(day)
		checkReport(t, name, b.Sheets)
		if all := strings.Join(pageTexts(b), "\n"); !strings.Contains(all, c.want) {
			t.Errorf("%s: report does not say %q", name, c.want)
		}
	}
}

// The map's scale bar must be true: its length on paper over its length in
// metres is the scale that is printed.
func TestMapScale(t *testing.T) {
	day := fixtureDay(fixture(drill.Cases()[3].Drill))
	s := Map(day, drawing.Size{WMM: 180, HMM: 200})
	m := &fieldMap{Sheet: s, day: day, frame: s.Bounds().Inset(5)}
	m.frame.H -= mapFoot
	v := drawing.FitView(m.extent(), m.frame.Inset(3))
	if !slices.Contains(s.Texts(), "scale "+v.Scale()) {
		t.Errorf("scale %s is not printed: %q", v.Scale(), s.Texts())
	}
	for _, part := range day.Review.Track {
		for _, p := range part {
			if q := v.At(p[0], p[1]); q.X < m.frame.X || q.X > m.frame.Right() || q.Y < m.frame.Y || q.Y > m.frame.Bottom() {
				t.Errorf("%v lies off the map", p)
			}
		}
	}
}

func TestRunsByTimeTakesAnyRange(t *testing.T) {
	day := fixtureDay(fixture(drill.Cases()[2].Drill))
	for _, r := range [][2]int{{0, 5}, {-3, 400}, {9, 2}, {0, 0}} {
		s := RunsByTime(day, r[0], r[1], drawing.Size{WMM: 250, HMM: 120})
		checkReport(t, fmt.Sprint(r), []*drawing.Sheet{s})
	}
}

func BenchmarkReport(b *testing.B) {
	for _, i := range []int{3, 1} {
		day := fixtureDay(fixture(drill.Cases()[i].Drill))
		b.Run(fmt.Sprintf("runs=%d", len(day.Fit.Map)), func(b *testing.B) {
			for b.Loop() {
				if err := WriteReport(&bytes.Buffer{}, day); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
