package replay

import (
	"testing"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/review"
)

// TestByHand plays strips that can be reckoned on paper: four runs of a quarter
// each, a floor of one half, a hold of three samples. With siblings at 40 each a
// run is low when x < (120+x)/8, that is below 17.1.
func TestByHand(t *testing.T) {
	const sound = "444444444444"
	const up = "111111111111"
	for _, c := range []struct {
		what          string
		a1, work, sec string
		closed        []drill.RunID
		want          int // false alarms, no event being given
	}{
		{"sound", sound, up, up, nil, 0},
		{"two lows are not three", "444411444444", up, up, nil, 0},
		{"three lows", "444411144444", up, up, nil, 1},
		{"a long row sounds once", "441111111111", up, up, nil, 1},
		{"two rows sound twice", "111441114444", up, up, nil, 2},
		{"20 is above the floor", "444422224444", up, up, nil, 0},
		{"not reported is not low and breaks the row", "4411-1144444", up, up, nil, 0},
		{"nor is a row made of what is not reported", "44------4444", up, up, nil, 0},
		{"and goes on anew behind it", "4411-1114444", up, up, nil, 1},
		{"lifted never counts", "111111111111", "000000000000", up, nil, 0},
		{"lifting breaks the row", "441111144444", "111100111111", up, nil, 0},
		{"shut off never counts", "000000000000", up, "000000000000", nil, 0},
		{"shutting off breaks the row", "441111144444", up, "111101111111", nil, 0},
		{"a closed run never counts", "000000000000", up, up, []drill.RunID{"A-1"}, 0},
		{"work that is not said stays", "441111144444", "1-----------", up, nil, 1},
	} {
		f := small(4, c.closed...)
		d := played(t, f, strip(f, c.work, c.sec, c.a1, sound, sound, sound), evenRules(f, 0.5, 3, 1))
		if got := rang(d); got != c.want {
			t.Errorf("%s: %d alarms, want %d", c.what, got, c.want)
		}
	}
}

// TestLimitIsStrict: 20 of 40+40+60+20 is just half of the run's quarter: not
// low. In binary 0.1 x 0.7 x 300 is not 21, and must be.
func TestLimitIsStrict(t *testing.T) {
	f := small(4)
	d := played(t, f, strip(f, "", "", "2222", "4444", "4444", "6666"), evenRules(f, 0.5, 2, 1))
	if n := rang(d); n != 0 {
		t.Errorf("a count just at the limit rang %d times", n)
	}
	f = small(2)
	l := strip(f, "", "", "2222", "2222")
	for i := range 4 {
		l.Values[0][i], l.Values[1][i] = 21, 279
	}
	r := evenRules(f, 0.7, 2, 1)
	r.Shares["A-1"], r.Shares["A-2"] = 0.1, 0.9
	if n := rang(played(t, f, l, r)); n != 0 {
		t.Errorf("21 of a limit of 21 rang %d times", n)
	}
}

// TestGapBreaksTheRow: samples that were lost are not low.
func TestGapBreaksTheRow(t *testing.T) {
	f := small(4)
	l := strip(f, "", "", "44114444", "44444444", "44444444", "44444444")
	l.Values[0][4] = 10
	for i := 4; i < 8; i++ {
		l.TimeNS[i] += 5e9
	}
	if n := rang(played(t, f, l, evenRules(f, 0.5, 3, 1))); n != 0 {
		t.Errorf("a row across a gap rang")
	}
}

// TestCatches reckons seconds and metres on paper: at 2 m/s, samples end at
// 100, 101, ... s; the run is low from the sample of 110 on.
func TestCatches(t *testing.T) {
	const sound = "444444444444444444444444"
	blocked := "444444444400000000000000"
	up := "111111111111111111111111"
	f := small(4)
	lifted := "111111111111110000111111"
	for _, c := range []struct {
		what   string
		run    string
		work   string
		holdS  float64
		event  review.Event
		alarms int
		afterS float64 // -1 = never
		afterM float64
		false  int
	}{
		{"three samples of a fault from 109 s", blocked, up, 3, event(1, "A-1", review.Blocked, 109, 123, 28), 1, 3, 6, 0},
		{"start between samples", blocked, up, 3, event(1, "A-1", review.Blocked, 109.5, 123, 27), 1, 2.5, 5, 0},
		{"hold is longer than the fault", blocked, up, 20, event(1, "A-1", review.Blocked, 109, 123, 28), 0, -1, 0, 0},
		{"start found two seconds late", blocked, up, 2, event(1, "A-1", review.Blocked, 112, 123, 22), 1, 0, 0, 0},
		{"start found while the alarm sounds", blocked, up, 2, event(1, "A-1", review.Blocked, 118, 123, 10), 1, 0, 0, 0},
		{"an event of another run", blocked, up, 2, event(1, "A-2", review.Blocked, 109, 123, 28), 0, -1, 0, 1},
		{"an event long before", blocked, up, 2, event(1, "A-1", review.Blocked, 100, 102, 4), 0, -1, 0, 1},
		{"an event of the head", blocked, up, 2, event(1, "", review.HeadStarved, 109, 123, 28), 1, 2, 4, 0},
		// low at 110..113, lifted 114..117, low again from 118: 6 in a row at 123;
		// of the 14 s since the start 4 were lifted
		{"a headland turn breaks the row", blocked, lifted, 6, event(1, "A-1", review.Blocked, 109, 123, 20), 1, 14, 20, 0},
	} {
		d := played(t, f, strip(f, c.work, up, c.run, sound, sound, sound), evenRules(f, 0.5, c.holdS, 1), c.event)
		o := d.Rules[0]
		got := o.Events[0]
		if got.Alarms != c.alarms || rang(d) != c.false || (got.AfterS == nil) != (c.afterS < 0) {
			t.Errorf("%s: %d alarms, %d false, %v", c.what, got.Alarms, o.False.Count, got.AfterS)
			continue
		}
		if got.AfterS != nil && (*got.AfterS != c.afterS || *got.AfterM != c.afterM) {
			t.Errorf("%s: after %g s and %g m, want %g and %g", c.what, *got.AfterS, *got.AfterM, c.afterS, c.afterM)
		}
	}
}

// TestSilentNode: nothing reported is nothing low, whether all or some of a
// head's ports are gone, and the document says so.
func TestSilentNode(t *testing.T) {
	f := small(4)
	gone := "44--------44"
	l := strip(f, "", "", gone, gone, gone, gone)
	d := played(t, f, l, evenRules(f, 0.5, 2, 1), event(1, "", review.NoData, 102, 109, 16))
	if o := d.Rules[0]; rang(d) != 0 || o.Events[0].AfterS != nil || o.Events[0].Why == "" {
		t.Errorf("%+v", o)
	}
	l = strip(f, "", "", gone, gone, "444444444444", "444444444444")
	if o := played(t, f, l, evenRules(f, 0.5, 2, 1)); rang(o) != 0 {
		t.Errorf("the siblings of a silent port rang: %+v", o.Rules[0].False)
	}
}

// TestStarting: an alarm of the first seconds of work is told apart, as the
// rules' design leaves them out.
func TestStarting(t *testing.T) {
	f := small(4)
	const sound = "44444444444444444444"
	d := played(t, f, strip(f, "00011111111111111111", "", "44411144444444441111", sound, sound, sound), evenRules(f, 0.5, 3, 1))
	if o := d.Rules[0].False; o.Count != 1 || o.Starting != 1 || d.Rules[0].Products[0].FalseCount != 1 || len(o.Listed) != 1 || o.Listed[0].Time != "118" {
		t.Errorf("%+v", o)
	}
}

// TestWorkFromFlow: without a work column a drill that counts nothing is
// lifted, and lifting breaks the row.
func TestWorkFromFlow(t *testing.T) {
	f := small(4)
	l := strip(f, "", "", "444411004444", "444444004444", "444444004444", "444444004444")
	d := played(t, f, l, evenRules(f, 0.5, 3, 1))
	if d.Rules[0].False.Count != 0 || d.WorkHours != 0.0028 || d.WorkMetres != 20 {
		t.Errorf("%d alarms, %g h, %g m", d.Rules[0].False.Count, d.WorkHours, d.WorkMetres)
	}
}

// TestTravelWithoutSpeed: by positions, else the drill's usual speed. A degree
// of latitude at the equator is 110 574 m (WGS 84, Snyder 1987, table 1).
func TestTravelWithoutSpeed(t *testing.T) {
	f := small(2)
	l := strip(f, "", "", "444444", "444444")
	l.Columns, l.Values = l.Columns[:2], l.Values[:2]
	if d := played(t, f, l, evenRules(f, 0.5, 3, 1)); d.WorkMetres != 12 {
		t.Errorf("%g m at the usual 2 m/s for 6 s", d.WorkMetres)
	}
	lat, lon := make([]float64, 6), make([]float64, 6)
	for i := range lat {
		lat[i] = 3 * float64(i) / 110574
	}
	l.Columns, l.Values = append(l.Columns, flowlog.ColumnNamed("lat"), flowlog.ColumnNamed("lon")), append(l.Values, lat, lon)
	if d := played(t, f, l, evenRules(f, 0.5, 3, 1)); d.WorkMetres != 17 {
		t.Errorf("%g m, want 2 + 5 x 3", d.WorkMetres)
	}
}
