package export_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"runproof/export"
	"runproof/flowlog"
	"runproof/track"
)

// recording is a log of positions once a second from 08:00:00 on, east along a
// parallel at 2 m/s from 30 m west of the 180th meridian; work is 1 but from 20 to
// 25 s. At 10 s there is no position, at 12 s it is 0/0, and between 40 and 55 s
// nothing was written.
func recording(clock flowlog.Clock) *flowlog.Log {
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: clock}}
	for _, name := range []string{"work", "4103:1", "lat", "lon"} {
		l.Columns = append(l.Columns, flowlog.ColumnNamed(name))
	}
	l.Reset(4)
	plane := track.At(-16.5, 180)
	begin := time.Date(2026, 5, 12, 8, 0, 0, 0, time.UTC).UnixNano()
	if clock == flowlog.Seconds {
		begin = 0
	}
	for s := range 70 {
		if s > 40 && s < 55 {
			continue
		}
		lat, lon := plane.ToDegrees(0, float64(2*s)-30)
		work := 1.0
		switch {
		case s == 10:
			lat, lon = flowlog.Missing(), flowlog.Missing()
		case s == 12:
			lat, lon = 0, 0
		case s >= 20 && s <= 25:
			work = 0
		}
		l.TimeNS = append(l.TimeNS, begin+int64(s)*1e9)
		for c, v := range []float64{work, 3, lat, lon} {
			l.Values[c] = append(l.Values[c], v)
		}
	}
	return l
}

// followedDay has events without ground at 8:00:01.5, 8:00:02.5 and so on, and the
// recording of it.
func followedDay(t testing.TB) *export.Day {
	t.Helper()
	var events []oddEvent
	for range 4 {
		events = append(events, oddEvent{"noisy", "A-1", "A", "seed", "", 0, nil})
	}
	day, err := export.Read(dayOf("followed", events...), "followed")
	if err == nil {
		err = day.Follow(recording(flowlog.UTC).NewReader(7))
	}
	if err != nil {
		t.Fatal(err)
	}
	return day
}

// By hand: 0 to 19 s, 26 to 40 s and 55 to 69 s are passes of 38, 28 and 28 m; the
// first crosses the meridian at 15 s. The events of dayOf begin at 0.5, 1.5, 2.5 and
// 3.5 s: 29, 27, 25 and 23 m west of it.
func TestFollow(t *testing.T) {
	day := followedDay(t)
	want := []struct {
		start, end string
		metres     float64
		lines      int
	}{
		{"2026-05-12T08:00:00Z", "2026-05-12T08:00:19Z", 38, 2},
		{"2026-05-12T08:00:26Z", "2026-05-12T08:00:40Z", 28, 1},
		{"2026-05-12T08:00:55Z", "2026-05-12T08:01:09Z", 28, 1},
	}
	if len(day.Passes) != len(want) {
		t.Fatalf("%d passes: %+v", len(day.Passes), day.Passes)
	}
	for i, w := range want {
		p := day.Passes[i]
		if p.Start != w.start || p.End != w.end || math.Abs(p.Metres-w.metres) > 0.01 || len(p.Lines) != w.lines {
			t.Errorf("pass %d: %+v, want %v", i+1, p, w)
		}
		for _, l := range p.Lines {
			if len(l) != 2 {
				t.Errorf("pass %d: straight travel has %d places", i+1, len(l))
			}
		}
	}
	plane := track.At(-16.5, 180)
	for i, f := range day.Events().Features {
		if f.At == nil {
			t.Fatalf("event %d has no place", i+1)
		}
		n, e := plane.ToLocal(f.At[1], f.At[0])
		if east := -29 + 2*float64(i); math.Abs(n) > 0.01 || math.Abs(e-east) > 0.02 {
			t.Errorf("event %d at %.3f, %.3f m, want 0, %v", i+1, n, e, east)
		}
	}
}

// A recording in seconds says nothing of events that have dates; one without
// positions says so.
func TestFollowAnother(t *testing.T) {
	day, err := export.Read(dayOf("x", oddEvent{"noisy", "A-1", "A", "seed", "", 0, nil}), "x")
	if err != nil {
		t.Fatal(err)
	}
	if err := day.Follow(recording(flowlog.Seconds).NewReader(100)); err != nil || day.Events().Unplaced() != 1 || day.Passes[0].Start != "0" {
		t.Errorf("%v, %+v", err, day.Passes)
	}
	bare := &flowlog.Log{Schema: flowlog.Schema{Columns: []flowlog.Column{flowlog.ColumnNamed("work")}}}
	bare.Reset(1)
	if err := day.Follow(bare.NewReader(1)); err != nil || !strings.Contains(strings.Join(day.Notes, " "), "no columns lat and lon") {
		t.Errorf("%v, %q", err, day.Notes)
	}
}
