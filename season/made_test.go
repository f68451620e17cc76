package season

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"runproof/drill"
	"runproof/fit"
	"runproof/review"
)

// rig is a drill of one product with so many heads A, B, ... of as many runs
// each, one node to a head: N1, N2, ...
func rig(heads, runs int, closed ...drill.RunID) *fit.Fit {
	d := drill.Drill{
		Runproof: drill.Version, Name: "Rig", Rows: drill.Rows{Count: heads * runs, SpacingM: 0.25, RanksM: []float64{0}},
		Products: []drill.Product{{ID: "seed"}}, Work: drill.Work{SpeedMPS: 2}, Sensing: drill.Sensing{Products: []drill.ProductID{"seed"}}, Closed: closed,
	}
	f := &fit.Fit{Runproof: fit.Version, Revision: 1}
	for h := range heads {
		head := drill.Head{ID: drill.HeadID(rune('A' + h)), Product: "seed"}
		node := fmt.Sprintf("N%d", h+1)
		for o := range runs {
			head.Rows = append(head.Rows, h*runs+o+1)
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID(head.ID, o+1), Node: node, Port: o + 1})
		}
		d.Heads = append(d.Heads, head)
		f.Nodes = append(f.Nodes, fit.Node{Serial: node, Ports: 16, Head: head.ID})
	}
	f.Drill = d
	return f
}

// opening is eight o'clock of the n-th day of a season.
func opening(n int) time.Time { return time.Date(2026, 5, 1+n, 8, 0, 0, 0, time.UTC) }

// day is the n-th day, so many hours long and all of it in work, at 8 ha/h and
// 7 km/h.
func day(f *fit.Fit, n int, hours float64, events ...review.Event) Day {
	d := Day{
		Runproof: DayVersion, Recording: fmt.Sprintf("day-%02d.parquet", n), From: []fit.Source{{Name: "log", SHA256: fmt.Sprint(n)}},
		Start: clockAt(n, 0), End: clockAt(n, hours*3600), WorkHours: hours, WorkMetres: 7000 * hours, WorkHa: 8 * hours,
	}
	for _, l := range f.Map {
		d.Watched = append(d.Watched, Watched{l.Run, hours})
	}
	for i := range events {
		events[i].ID = i + 1
		events[i].Start, events[i].End = clockAt(n, float64(events[i].StartNS)/1e9), clockAt(n, float64(events[i].EndNS)/1e9)
	}
	d.Events = events
	return d
}

func clockAt(n int, s float64) string {
	return opening(n).Add(time.Duration(s * 1e9)).Format(time.RFC3339Nano)
}

// at is an event from and to seconds of its day; what is a run, a head, a node,
// or a product.
func at(kind review.Kind, what string, from, to float64) review.Event {
	ev := review.Event{Kind: kind, Product: "seed", StartNS: int64(from * 1e9), EndNS: int64(to * 1e9), Metres: 2 * (to - from), AreaM2: 0.5 * (to - from), Lost: 0.97}
	switch kind {
	case review.NoData:
		ev.Node = what
	case review.HeadStarved:
		ev.Head = drill.HeadID(what)
	case review.ProductOut:
	default:
		ev.Run, ev.Head = drill.RunID(what), drill.HeadID(what[:1])
	}
	return ev
}

func made(t testing.TB, f *fit.Fit, days []Day, repairs ...Repair) *Document {
	t.Helper()
	doc, err := Of(f, days, repairs)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// lineOf finds a line.
func lineOf(t testing.TB, lines []Line, name string, trouble Trouble) Line {
	t.Helper()
	for _, l := range lines {
		if l.Place.String() == name && l.Trouble == trouble {
			return l
		}
	}
	t.Fatalf("no line %s, %s", name, trouble)
	return Line{}
}

// slots of ten minutes: at most one event in each, so that none are joined.
const slotS = 600

// chanceSeason makes days of eight hours in which each run is blocked for a
// minute with a rate [1/h] that a function gives for the day.
func chanceSeason(f *fit.Fit, days int, seed uint64, rate func(run drill.RunID, day int) float64) []Day {
	rng := rand.New(rand.NewPCG(seed, 1))
	var out []Day
	for n := range days {
		var events []review.Event
		for slot := range 8 * 3600 / slotS {
			for _, l := range f.Map {
				if rng.Float64() < rate(l.Run, n)*slotS/3600 {
					from := float64(slot * slotS)
					events = append(events, at(review.Blocked, string(l.Run), from, from+60))
				}
			}
		}
		out = append(out, day(f, n, 8, events...))
	}
	return out
}
