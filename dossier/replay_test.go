package dossier

import (
	"bytes"
	"strings"
	"testing"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/replay"
	"runproof/review"
)

// fixtureReplay is a made-up replay with an event of each kind; the numbers are
// invented.
func fixtureReplay(f *fit.Fit, rules int) ReplayDay {
	doc := &replay.Document{Runproof: replay.Version, Drill: f.Drill.Name, Start: "2026-05-12T08:00:00Z", End: "2026-05-12T18:30:00Z", WorkHours: 9.4, WorkMetres: 74000, Allowed: 1, Warnings: []string{"the log lacks the ports of A-1"}}
	d := fixtureDay(f)
	for n := range rules {
		o := replay.Outcome{Name: strings.Repeat("tight-", n) + "rules.json", False: replay.FalseAlarms{Count: 90, Starting: 12, PerDay: 95.7, Low: 77, High: 118, Predicted: 0.8}}
		for i := range 90 {
			o.False.Listed = append(o.False.Listed, replay.Alarm{Run: drill.NewRunID("C", i%12+1), Time: "2026-05-12T09:00:01.5Z"})
		}
		for _, p := range f.Drill.Products {
			o.Products = append(o.Products, replay.Key{Product: p.ID, Floor: 0.4 + 0.1*float64(n), HoldS: 2, FalseCount: 4 * n, Caught: 2, Missed: 1, MissedM: 60 - 10*float64(n), TakenM: 900})
		}
		for i, ev := range d.Review.Events {
			c := replay.Catch{Event: ev.ID, Kind: ev.Kind, Run: ev.Run, Head: ev.Head, Product: ev.Product, Node: ev.Node, Metres: ev.Metres}
			if m := 4.5 + float64(i); ev.Kind.LosesSeed() && i%2 == 0 {
				c.AfterM, c.AfterS, c.By = &m, &m, "C-7"
			} else if ev.Kind != review.Restricted {
				c.Why = "a silent node reports nothing, and nothing is not low; a monitor must tell that by itself"
			}
			o.Events = append(o.Events, c)
		}
		doc.Rules = append(doc.Rules, o)
	}
	for _, p := range f.Drill.Products {
		for i := range 6 {
			pt := replay.Point{Product: p.ID, Floor: 0.3 + 0.05*float64(i), HoldS: 3 - 0.2*float64(i), FalseCount: i * i, Caught: 3, MissedM: 40 - 6*float64(i)}
			if i == 1 {
				doc.Best.Products = append(doc.Best.Products, pt)
			}
			doc.Curve = append(doc.Curve, pt)
		}
	}
	doc.Best.MostFalse, doc.Best.Remark = 1, "Fitted to this one day: it shows what hindsight would have gained, and is no rule to key in."
	return ReplayDay{Drill: &f.Drill, Replay: doc, Recording: "day.csv.zst"}
}

// Nothing runs into anything else, on any drill, paper and number of rules.
func TestReplayLayout(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fixture(c.Drill)
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			for rules := 1; rules <= 4; rules++ {
				day := fixtureReplay(f, rules)
				day.Paper = paper
				checkSheets(t, c.Name, ReplayPages(day).Sheets)
				checkSheets(t, c.Name+", picture", []*drawing.Sheet{Replay(day)})
			}
		}
	}
}

// The picture has the point of the rules that were played, at the figures that
// the document says; the same day gives the same bytes.
func TestReplayPicture(t *testing.T) {
	f := fixture(drill.Cases()[2].Drill)
	day := fixtureReplay(f, 1)
	texts := strings.Join(Replay(day).Texts(), "\n")
	for _, want := range []string{"below 40 % for 2 s", "below 35 % for 2.8 s", "given to the search: 1", "no alarm at all", "travel missed [m]"} {
		if !strings.Contains(texts, want) {
			t.Errorf("the picture does not say %q:\n%s", want, texts)
		}
	}
	var a, b bytes.Buffer
	if err := WriteReplay(&a, day); err != nil {
		t.Fatal(err)
	}
	if err := WriteReplay(&b, fixtureReplay(f, 1)); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Errorf("not the same bytes: %v", err)
	}
}

// A day on which no run lost product has pages all the same.
func TestReplayOfASoundDay(t *testing.T) {
	day := fixtureReplay(fixture(drill.Cases()[2].Drill), 1)
	day.Replay.Curve, day.Replay.Best.Products, day.Replay.Rules[0].Events = nil, nil, nil
	checkSheets(t, "sound", append(ReplayPages(day).Sheets, Replay(day)))
	if texts := strings.Join(Replay(day).Texts(), " "); !strings.Contains(texts, "nothing to draw") {
		t.Error(texts)
	}
}
