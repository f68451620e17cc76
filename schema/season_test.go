package schema

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/replay"
	"runproof/review"
	"runproof/season"
)

func seasonFit() *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *drill.Cases()[1].Drill}
	for i, r := range f.Drill.Runs() {
		f.Map = append(f.Map, fit.Link{Run: r.ID, Node: fmt.Sprintf("N%d", i/12+1), Port: i%12 + 1})
	}
	for n := range (len(f.Map) + 11) / 12 {
		f.Nodes = append(f.Nodes, fit.Node{Serial: fmt.Sprintf("N%d", n+1), Ports: 12})
	}
	return f
}

// A season with everything that it can hold is what its schema says.
func TestSeasonDocument(t *testing.T) {
	f := seasonFit()
	var days []season.Day
	run := f.Drill.Runs()[0]
	for n := range 6 {
		day := func(h int) string { return fmt.Sprintf("2026-05-%02dT%02d:00:00Z", n+1, h) }
		d := season.Day{Recording: fmt.Sprint(n), Start: day(6), End: day(16), WorkHours: 9, WorkHa: 80}
		for _, l := range f.Map {
			d.Watched = append(d.Watched, season.Watched{Run: l.Run, Hours: float64(9 - n)})
		}
		for h := range 4 {
			d.Events = append(d.Events, review.Event{Run: run.ID, Head: run.Head, Product: run.Product, Kind: review.Kinds()[h], Start: day(7 + h), End: day(7 + h)})
		}
		days = append(days, d)
	}
	days[5].Start = "5" // without a date: left out
	doc, err := season.Of(f, days, []season.Repair{{Run: run.ID, Date: "2026-05-03", What: "boot"}, {Node: "N1", Date: "2026-05-04"}})
	if err != nil || len(doc.Unread) != 1 || len(doc.Repairs) < 2 {
		t.Fatalf("%v: %+v", err, doc)
	}
	j, err := json.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled(t, "season").Validate(jsonValue(t, j)); err != nil {
		t.Error(err)
	}
}

// What the schema of repairs lets pass the reader reads, and the other way
// round for faults of form.
func TestRepairsFile(t *testing.T) {
	f, s := seasonFit(), compiled(t, "repairs")
	run := string(f.Drill.Runs()[0].ID)
	for text, ok := range map[string]bool{
		"- {run: " + run + ", date: 2026-05-14, what: new boot}": true,
		"- {node: N1, date: \"2026-05-14T12:00:00Z\"}":           true,
		"- {run: " + run + "}":                                   false,
		"- {rnu: " + run + ", date: 2026-05-14}":                 false,
		"- {run: nine, date: 2026-05-14}":                        false,
	} {
		text = "runproof: repairs/1\nrepairs:\n" + text + "\n"
		if err := s.Validate(asJSON(t, text)); (err == nil) != ok {
			t.Errorf("%s: the schema says %v", text, err)
		}
		if _, err := season.ReadRepairs(strings.NewReader(text), "repairs.yaml", f); (err == nil) != ok {
			t.Errorf("%s: the reader says %v", text, err)
		}
	}
}

// A replay with everything that it can hold is what its schema says.
func TestReplayDocument(t *testing.T) {
	m := 3.5
	doc := replay.Document{
		Runproof: replay.Version, Warnings: []string{"short"},
		Rules: []replay.Outcome{{
			Name: "rules.json", Products: []replay.Key{{Product: "seed", Floor: 0.5, HoldS: 2}},
			Events: []replay.Catch{{Event: 1, Kind: review.Blocked, Run: "A-1", Head: "A", Product: "seed", Alarms: 1, By: "A-1", AfterS: &m, AfterM: &m}, {Event: 2, Kind: review.NoData, Node: "N1", Why: "silent"}},
			False:  replay.FalseAlarms{Count: 1, Listed: []replay.Alarm{{Run: "A-2", Time: "12.5"}}},
		}},
		Best: replay.Best{Products: []replay.Point{{Product: "seed"}}}, Curve: []replay.Point{{Product: "seed"}},
	}
	j, err := json.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled(t, "replay").Validate(jsonValue(t, j)); err != nil {
		t.Error(err)
	}
}
