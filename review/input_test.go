package review_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
	"runproof/simulate"
)

// TestEveryDrill reviews twenty minutes of every drill of the battery, with a
// blocked run where one exists.
func TestEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			f := fitOf(c.Drill)
			fault := simulate.Fault{Kind: review.Blocked, Run: f.Map[len(f.Map)/2].Run, AtS: 500, ForS: 300, FallS: 1, Left: 0.03}
			if len(f.Map) == 1 { // all product goes through the only hose or none does
				fault.Kind, fault.Run, fault.Product = review.ProductOut, "", c.Drill.Products[0].ID
			}
			s := scenario(c.Drill, 1./3, fault)
			res := reviewed(t, f, recorded(t, s, f), 2048)
			if text := written(t, res); strings.Contains(text, "NaN") {
				t.Error(text)
			}
			// hose or sensor is not the question: 19 siblings rise by 5 % only
			if !slices.ContainsFunc(res.Events, func(ev review.Event) bool { return ev.Run == fault.Run }) {
				t.Errorf("%s of %s for five minutes; found %q", fault.Kind, fault.Run, what(res))
			}
			if len(res.Events) > 2 {
				t.Errorf("one fault, %d events: %q", len(res.Events), what(res))
			}
		})
	}
}

// without drops the columns of some kinds.
func without(l *flowlog.Log, kinds ...flowlog.Kind) *flowlog.Log {
	out := &flowlog.Log{}
	out.Clock, out.TimeNS = l.Clock, l.TimeNS
	for c, col := range l.Columns {
		if !slices.Contains(kinds, col.Kind) {
			out.Columns, out.Values = append(out.Columns, col), append(out.Values, l.Values[c])
		}
	}
	return out
}

// TestPoorLogs: a log may lack work, speed and place; what there is to see in
// the flow alone is still found.
func TestPoorLogs(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	l := recorded(t, scenario(d, 0.5, everyKind()[:3]...), f)
	for _, c := range []struct {
		name  string
		drop  []flowlog.Kind
		skips bool
	}{
		{"all", nil, true},
		{"no speed", []flowlog.Kind{flowlog.Speed, flowlog.Course}, true},
		{"no place", []flowlog.Kind{flowlog.Lat, flowlog.Lon, flowlog.Course}, false},
		{"no work state", []flowlog.Kind{flowlog.Work}, true},
		{"counts alone", []flowlog.Kind{flowlog.Work, flowlog.Speed, flowlog.Lat, flowlog.Lon, flowlog.Course}, false},
	} {
		res := reviewed(t, f, without(l, c.drop...), 2048)
		if got := what(res); len(got) != 3 || !strings.HasPrefix(got[0], "blocked A-2") || !strings.HasPrefix(got[1], "restricted B-3") || !strings.HasPrefix(got[2], "sensor_lost C-4") {
			t.Errorf("%s: %q", c.name, got)
		}
		if (len(res.Skips) > 0) != c.skips {
			t.Errorf("%s: %d strips", c.name, len(res.Skips))
		}
	}
}

// TestHopelessLogs end in a report or in a fault with a remedy, never in a panic.
func TestHopelessLogs(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	day := recorded(t, scenario(d, 0.1), f)
	cut := func(n int) *flowlog.Log {
		l := &flowlog.Log{Schema: day.Schema, Batch: flowlog.Batch{TimeNS: slices.Clone(day.TimeNS[:n])}}
		for _, v := range day.Values {
			l.Values = append(l.Values, slices.Clone(v[:n]))
		}
		return l
	}
	fill := func(l *flowlog.Log, with float64) *flowlog.Log {
		for c := range l.Values {
			if l.Columns[c].Kind != flowlog.Port && with == with {
				continue
			}
			for i := range l.Values[c] {
				l.Values[c][i] = with
			}
		}
		return l
	}
	gaps := cut(200)
	for i := range gaps.TimeNS {
		gaps.TimeNS[i] += int64(i/50) * 86400e9
	}
	for _, c := range []struct {
		name string
		log  *flowlog.Log
	}{
		{"empty", cut(0)},
		{"one line", cut(1)},
		{"two lines", cut(2)},
		{"all null", fill(cut(500), math.NaN())},
		{"all zero", fill(cut(500), 0)},
		{"all huge", fill(cut(500), 1e9)},
		{"days between the lines", gaps},
	} {
		res := reviewed(t, f, c.log, 64)
		if text := written(t, res); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || res.Summary.Samples != c.log.Len() {
			t.Errorf("%s: %d samples\n%s", c.name, res.Summary.Samples, text)
		}
	}
	other := fitOf(d)
	for i := range other.Map {
		other.Map[i].Node = "N77"
	}
	_, err := review.Run(other, &replayed{Log: cut(10), size: 5}, review.Options{})
	var fault input.Fault
	if !errors.As(err, &fault) || fault.Remedy == "" {
		t.Errorf("a log of another drill: %v", err)
	}
}

// broken fails after its first batch.
type broken struct{ replayed }

func (b *broken) Read(to *flowlog.Batch) error {
	if b.at > 0 {
		return input.Fault{What: "the file ends in the middle of a line"}
	}
	return b.replayed.Read(to)
}

func TestReadersFaultIsPassedOn(t *testing.T) {
	d := threeHeads()
	f := fitOf(d)
	res, err := review.Run(f, &broken{replayed{Log: recorded(t, scenario(d, 0.1), f), size: 100}}, review.Options{})
	if res != nil || err == nil || !strings.Contains(err.Error(), "middle of a line") {
		t.Errorf("%v, %v", res, err)
	}
}
