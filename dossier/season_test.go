package dossier

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/review"
	"runproof/season"
)

// fixtureSeason is a made-up season: every kind of event, one run that is
// blocked day after day until it is repaired, one sensor that grows worse, and
// a recording that was left out.
func fixtureSeason(t testing.TB, f *fit.Fit, days int) Season {
	t.Helper()
	var runs []drill.Run
	for _, r := range f.Drill.Runs() {
		if _, ok := f.PortOf(r.ID); ok && !r.Closed {
			runs = append(runs, r)
		}
	}
	var all []season.Day
	for n := range days {
		start := time.Date(2026, 4, 20+n, 6, 0, 0, 0, time.UTC)
		at := func(s float64) string { return start.Add(time.Duration(s * 1e9)).Format(time.RFC3339Nano) }
		d := season.Day{Runproof: season.DayVersion, Recording: fmt.Sprintf("day-%02d.parquet", n+1), From: []fit.Source{{Name: "log", SHA256: fmt.Sprint(n)}}, Start: at(0), End: at(36000), WorkHours: 9, WorkMetres: 70000, WorkHa: 84}
		for i, r := range runs {
			w := season.Watched{Run: r.ID, Hours: 8.9}
			if n%7 == 3 && i%9 == 4 {
				w.Hours = 2
			}
			d.Watched = append(d.Watched, w)
		}
		event := func(kind review.Kind, run drill.Run, node string, from, long float64) {
			d.Events = append(d.Events, review.Event{ID: len(d.Events) + 1, Kind: kind, Run: run.ID, Head: run.Head, Product: run.Product, Node: node, Start: at(from), End: at(from + long), Metres: 2.2 * long, AreaM2: 0.5 * long})
		}
		if len(runs) > 0 && n%2 == 0 {
			r := runs[(n*7)%len(runs)]
			port, _ := f.PortOf(r.ID)
			switch kind := review.Kinds()[n/2%7]; kind {
			case review.HeadStarved:
				event(kind, drill.Run{Head: r.Head, Product: r.Product}, "", 900, 200)
			case review.ProductOut:
				event(kind, drill.Run{Product: r.Product}, "", 900, 200)
			case review.NoData:
				event(kind, drill.Run{Product: r.Product}, port.Node, 900, 200)
			default:
				event(kind, r, "", 900, 200)
			}
		}
		if len(runs) > 3 {
			for k := range 3 {
				if n < days/2 {
					event(review.Blocked, runs[len(runs)/3], "", 3000+2000*float64(k), 120)
				}
				if k < n*3/max(1, days) {
					event(review.SensorLost, runs[2*len(runs)/3], "", 12000+2000*float64(k), 300)
				}
			}
		}
		all = append(all, d)
	}
	var repairs []season.Repair
	if len(runs) > 3 {
		date := time.Date(2026, 4, 20+days/2, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
		port, _ := f.PortOf(runs[0].ID)
		repairs = []season.Repair{{Run: runs[len(runs)/3].ID, Date: date, What: "new boot on the opener"}, {Head: runs[0].Head, Date: date, What: "primary hose turned, and clamped where it had chafed against the frame for two seasons"}, {Node: port.Node, Date: date}}
	}
	doc, err := season.Of(f, all, repairs)
	if err != nil {
		t.Fatal(err)
	}
	doc.Unread = append(doc.Unread, season.Unread{Recording: "card-2.csv", Why: "card-2.csv:1081: \"what\" is no number; the rest of the file was not read"})
	return Season{Drill: &f.Drill, Season: doc}
}

// Nothing runs into anything else, on any drill and paper, from one day to many.
func TestSeasonLayout(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fixture(c.Drill)
		if len(f.Map) == 0 {
			continue
		}
		for i, days := range []int{1, 12, 45, 150} {
			if days > 45 && len(f.Map) > 100 {
				continue
			}
			b := fixtureSeason(t, f, days)
			b.Paper = []drawing.Paper{drawing.A4, drawing.Letter}[i%2]
			name := fmt.Sprintf("%s, %d days", c.Name, days)
			checkSheets(t, name, SeasonPages(b).Sheets)
			checkSheets(t, name+", picture", []*drawing.Sheet{SeasonGrid(b)})
		}
	}
}

// The report says what the document says, and the same season gives the same
// bytes.
func TestSeasonReport(t *testing.T) {
	f := fixture(drill.Cases()[2].Drill)
	b := fixtureSeason(t, f, 20)
	if len(b.Season.Offenders) < 2 || len(b.Season.Repairs) == 0 || !b.Season.Repairs[0].Helped() {
		t.Fatalf("the fixture's offenders are not found: %+v, %+v", b.Season.Offenders, b.Season.Repairs)
	}
	text := strings.Join(strings.Fields(string(bookText(SeasonPages(b)))), " ")
	for _, want := range []string{b.Season.Offenders[0].Place.String(), "stand out", "helped", "may be chance", "blocked", "repaired", "watched less than half", "card-2.csv:1081", "Heads over the season", "Every place with a trouble", "04-20", "page 1 of"} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	var first, second bytes.Buffer
	if err := WriteSeason(&first, b); err != nil {
		t.Fatal(err)
	}
	if err := WriteSeason(&second, fixtureSeason(t, f, 20)); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Errorf("not the same bytes: %v", err)
	}
}

// Rows go to pages whole, in order, no page too full, and a head is parted only
// where it is larger than a page.
func TestSplitRows(t *testing.T) {
	for _, sizes := range [][]int{{12, 12, 12, 12, 12, 12, 1}, {60, 60}, {70}, {1}, {10, 62, 10}, {5, 100, 5, 30, 30, 30}} {
		var rows []gridRow
		for h, n := range sizes {
			for range n {
				rows = append(rows, gridRow{label: fmt.Sprint(len(rows)), head: drill.HeadID(fmt.Sprint(h))})
			}
		}
		at := 0
		for _, part := range splitRows(rows) {
			if len(part) == 0 || len(part) > seasonRowsPerPage {
				t.Errorf("%v: a page of %d rows", sizes, len(part))
			}
			if at > 0 && rows[at].head == rows[at-1].head && sizes[atoi(t, string(rows[at].head))]+sizes[max(0, atoi(t, string(rows[at].head))-1)] <= seasonRowsPerPage {
				t.Errorf("%v: head %s is parted", sizes, rows[at].head)
			}
			for _, r := range part {
				if r.label != fmt.Sprint(at) {
					t.Fatalf("%v: row %s at %d", sizes, r.label, at)
				}
				at++
			}
		}
		if at != len(rows) {
			t.Errorf("%v: %d of %d rows", sizes, at, len(rows))
		}
	}
}

func atoi(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// No two troubles, trends or outcomes of a replay look alike without their
// colour.
func TestSeasonStatesDiffer(t *testing.T) {
	var troubles []drawing.State
	for _, k := range season.Troubles() {
		troubles = append(troubles, troubleState(k))
	}
	for _, family := range [][]drawing.State{troubles, {trendWorse, trendBetter, trendSteady}, {ratioOwn, ratioOthers}, {replayCaught, replayNever, replayBlind}, {replayCurve, replayRules, replayBest}} {
		seen := map[drawing.Mark]string{}
		for _, st := range family {
			if other, taken := seen[st.Mark]; taken || st.Word == "" || st.Mark == drawing.NoMark {
				t.Errorf("%q looks like %q", st.Word, other)
			}
			seen[st.Mark] = st.Word
		}
	}
}

// A cell shows ground short of product before readings lost, and counts all.
func TestWorstOfACell(t *testing.T) {
	var c gridCell
	if k, n := c.worst(); k != review.Unknown || n != 0 {
		t.Errorf("%v %d", k, n)
	}
	c.events[review.Noisy], c.events[review.SensorLost] = 3, 1
	if k, n := c.worst(); k != review.SensorLost || n != 4 {
		t.Errorf("%v %d", k, n)
	}
	c.events[review.Restricted] = 1
	if k, n := c.worst(); k != review.Restricted || n != 5 {
		t.Errorf("%v %d", k, n)
	}
	shown := map[review.Kind]bool{}
	for _, k := range review.Kinds() {
		var one gridCell
		one.events[k] = 1
		got, _ := one.worst()
		shown[got] = true
	}
	if len(shown) != len(review.Kinds()) {
		t.Errorf("only %v are ever shown", shown)
	}
}
