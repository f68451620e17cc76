package season

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"runproof/review"
)

// TestByHand counts a season that can be counted on paper.
func TestByHand(t *testing.T) {
	f := rig(2, 3, "B-3")
	long := at(review.SensorLost, "A-2", 35000, 36000)
	long.Open = true
	days := []Day{
		day(f, 2, 5), // named out of order
		day(f, 0, 10,
			at(review.Blocked, "A-1", 100, 160),
			at(review.Blocked, "A-1", 460, 500),     // 300 s later: the same trouble
			at(review.Restricted, "A-1", 801, 821),  // 301 s later: another
			at(review.SensorLost, "A-1", 830, 840),  // another kind of trouble
			at(review.Blocked, "B-1", 2000, 2100),   // another run
			at(review.HeadStarved, "B", 3000, 3050), //
			at(review.ProductOut, "", 4000, 4020),   //
			at(review.NoData, "N2", 5000, 5100),     //
			long,                                    // to the end of the recording
		),
		day(f, 1, 5, at(review.SensorLost, "A-2", 200, 700), at(review.Noisy, "B-2", 900, 950)), // goes on from the evening before
	}
	doc := made(t, f, days)
	if doc.WorkHours != 20 || doc.WorkHa != 160 || doc.WorkMetres != 140000 || len(doc.Days) != 3 || doc.Days[2].WorkHours != 5 || doc.Days[0].Recording != "day-00.parquet" {
		t.Errorf("%+v", doc)
	}
	// blocked and restricted 220 s, starved 50 s and out 20 s, at half a square metre a second
	if doc.SkipAreaM2 != 0.5*(60+40+20+100+50+20) {
		t.Errorf("%g m2 short", doc.SkipAreaM2)
	}
	for _, c := range []struct {
		lines                []Line
		name                 string
		trouble              Trouble
		count, events, days  int
		lastedS, metres, m2  float64
		hours, perHour, perH float64
		byDay                []int
	}{
		{doc.Runs, "A-1", Flow, 2, 3, 1, 120, 240, 60, 20, 0.1, 2. / 160, []int{2, 0, 0}},
		{doc.Runs, "A-1", Sensing, 1, 1, 1, 10, 20, 0, 20, 0.05, 1. / 160, []int{1, 0, 0}},
		{doc.Runs, "A-2", Sensing, 1, 2, 2, 1500, 3000, 0, 20, 0.05, 1. / 160, []int{1, 0, 0}},
		{doc.Runs, "B-2", Sensing, 1, 1, 1, 50, 100, 0, 20, 0.05, 1. / 160, []int{0, 1, 0}},
		{doc.Runs, "A-3", Flow, 0, 0, 0, 0, 0, 0, 20, 0, 0, []int{0, 0, 0}},
		{doc.Heads, "head A", Flow, 2, 3, 1, 120, 240, 60, 20, 0.1, 2. / 160, []int{2, 0, 0}},
		{doc.Heads, "head B", Flow, 1, 1, 1, 100, 200, 50, 20, 0.05, 1. / 160, []int{1, 0, 0}},
		{doc.Heads, "head B", Supply, 1, 1, 1, 50, 100, 25, 20, 0.05, 1. / 160, []int{1, 0, 0}},
		{doc.Heads, "head B", Sensing, 1, 1, 1, 50, 100, 0, 20, 0.05, 1. / 160, []int{0, 1, 0}}, // the node is no head
		{doc.Nodes, "node N1", Sensing, 2, 3, 2, 1510, 3020, 0, 20, 0.1, 2. / 160, []int{2, 0, 0}},
		{doc.Nodes, "node N2", Sensing, 2, 2, 2, 150, 300, 0, 20, 0.1, 2. / 160, []int{1, 1, 0}},
		{doc.Products, "all of seed", Supply, 2, 2, 1, 70, 140, 35, 20, 0.1, 2. / 160, []int{2, 0, 0}},
		{doc.Whole, "the drill", Flow, 3, 4, 1, 220, 440, 110, 20, 0.15, 3. / 160, []int{3, 0, 0}},
		{doc.Whole, "the drill", Sensing, 4, 5, 2, 1660, 3320, 0, 20, 0.2, 4. / 160, []int{3, 1, 0}},
	} {
		l := lineOf(t, c.lines, c.name, c.trouble)
		if l.Count != c.count || l.Events != c.events || l.Days != c.days || l.LastedS != c.lastedS || l.Metres != c.metres || l.AreaM2 != c.m2 || l.Hours != c.hours || !slices.Equal(l.ByDay, c.byDay) {
			t.Errorf("%s, %s: %+v", c.name, c.trouble, l)
		}
		if !near(l.PerHour.Value, c.perHour, 1e-5) || !near(l.PerHa.Value, c.perH, 1e-5) {
			t.Errorf("%s, %s: %g in an hour, %g in a hectare", c.name, c.trouble, l.PerHour.Value, l.PerHa.Value)
		}
	}
	for _, l := range doc.Runs {
		if l.Run == "B-3" {
			t.Error("a closed run has a line")
		}
	}
}

func near(a, b, tolerance float64) bool { return a == b || a > b-tolerance*b && a < b+tolerance*b }

// TestLittleWatched: hours and hectares are those in which a run was watched.
func TestLittleWatched(t *testing.T) {
	f := rig(1, 4)
	d := day(f, 0, 10, at(review.Blocked, "A-1", 100, 160))
	d.Watched[0].Hours = 2.5
	d.Watched[1].Hours = 9.5
	doc := made(t, f, []Day{d, day(f, 1, 10)})
	l := lineOf(t, doc.Runs, "A-1", Flow)
	if l.Hours != 12.5 || l.Ha != 100 || l.PerHour.Value != 0.08 || l.PerHa.Value != 0.01 {
		t.Errorf("%+v", l)
	}
	if w := doc.Days[0].Watched; len(w) != 1 || w[0].Run != "A-1" || w[0].Hours != 2.5 {
		t.Errorf("%+v", w)
	}
	if l := lineOf(t, doc.Heads, "head A", Flow); l.Hours != 18 { // (12.5 + 19.5 + 20 + 20) / 4
		t.Errorf("head: %g h", l.Hours)
	}
}

// TestRefusedDays: what cannot stand in a season is told, and the rest goes on.
func TestRefusedDays(t *testing.T) {
	f := rig(1, 4)
	good := day(f, 0, 8)
	twice := day(f, 0, 8)
	twice.Recording = "copy.parquet"
	beside := day(f, 0, 8)
	beside.Recording, beside.From[0].SHA256 = "other-box.parquet", "ff"
	seconds := day(f, 3, 8)
	seconds.Start, seconds.End = "0", "28800"
	parked := day(f, 4, 8)
	parked.WorkHours = 0
	odd := day(f, 5, 8, at(review.Blocked, "A-1", 100, 160))
	odd.Events[0].End = "yesterday"
	doc := made(t, f, []Day{seconds, good, twice, beside, parked, odd, day(f, 6, 8)})
	if len(doc.Days) != 2 || len(doc.Unread) != 5 || !doc.Attention() {
		t.Fatalf("%d days, %+v", len(doc.Days), doc.Unread)
	}
	for i, want := range []string{"without a date", "never in the ground", "yesterday", "same recording as day-00", "beside day-00"} {
		if !strings.Contains(doc.Unread[i].Why, want) {
			t.Errorf("%s: %s, wanted %q", doc.Unread[i].Recording, doc.Unread[i].Why, want)
		}
	}
	if _, err := Of(f, []Day{seconds}, nil); err == nil || !strings.Contains(err.Error(), "without a date") {
		t.Errorf("a season of nothing: %v", err)
	}
	if _, err := Of(f, nil, nil); err == nil {
		t.Error("a season of no days")
	}
}

// TestAroundRepairs: the day of the repair belongs to neither side, and the
// next repair of the same place ends the days after.
func TestAroundRepairs(t *testing.T) {
	f := rig(2, 4)
	var days []Day
	for n, count := range []int{2, 1, 3, 0, 1, 0, 5} {
		var events []review.Event
		for k := range count {
			events = append(events, at(review.Blocked, "A-1", float64(1000*k), float64(1000*k+50)))
		}
		events = append(events, at(review.Blocked, "B-2", 20000, 20050))
		days = append(days, day(f, n, 8, events...))
	}
	doc := made(t, f, days,
		Repair{Run: "A-1", Date: "2026-05-06T12:00:00Z", What: "second"}, // while day 5 was running
		Repair{Run: "A-1", Date: "2026-05-03", What: "first"},            // day 2
		Repair{Run: "B-1", Date: "2026-05-03", What: "another run"},
		Repair{Node: "N2", Date: "2026-04-01", What: "before all"},
	)
	if len(doc.Repairs) != 4 {
		t.Fatalf("%+v", doc.Repairs)
	}
	for i, want := range []struct {
		what          string
		before, after Span
		others        [2]int
	}{
		{"before all", Span{0, 0, 0}, Span{7, 56, 0}, [2]int{0, 0}},
		{"first", Span{2, 16, 3}, Span{2, 16, 1}, [2]int{2, 2}}, // days 3 and 4: day 5 saw the second
		{"another run", Span{2, 16, 0}, Span{4, 32, 0}, [2]int{5, 10}},
		{"second", Span{2, 16, 1}, Span{1, 8, 5}, [2]int{2, 1}},
	} {
		r := doc.Repairs[i]
		if r.What != want.what || r.Before != want.before || r.After != want.after || r.Others.Before.Count != want.others[0] || r.Others.After.Count != want.others[1] {
			t.Errorf("%s: %+v", want.what, r)
		}
	}
	if s := doc.Repairs[0].Says; !strings.Contains(s, "nothing to hold it against") {
		t.Error(s)
	}
	if s := doc.Repairs[1].Says; !strings.Contains(s, "may be chance") {
		t.Error(s)
	}
}

// TestOneBadDay: what plugs again and again on one day does not stand out
// before it comes back on another; a head is counted without the run that
// stands out itself. Twelve of twelve on one of eight runs have a chance of
// 8^-12.
func TestOneBadDay(t *testing.T) {
	f := rig(2, 4)
	var bad []review.Event
	for k := range 12 {
		bad = append(bad, at(review.Blocked, "A-1", float64(1000*k), float64(1000*k+50)))
	}
	doc := made(t, f, []Day{day(f, 0, 8, bad...), day(f, 1, 8)})
	if len(doc.Offenders) != 0 || doc.Tested == 0 {
		t.Errorf("%+v", doc.Offenders)
	}
	doc = made(t, f, []Day{day(f, 0, 8, bad...), day(f, 1, 8, at(review.Blocked, "A-1", 100, 150))})
	if len(doc.Offenders) != 1 || doc.Offenders[0].Run != "A-1" || doc.Offenders[0].Of != 13 || doc.Offenders[0].Among != 8 || doc.Offenders[0].Expected != 1.625 {
		t.Errorf("%+v", doc.Offenders)
	}
}

func TestRunsTable(t *testing.T) {
	f := rig(1, 2)
	doc := made(t, f, []Day{day(f, 0, 8, at(review.Blocked, "A-1", 10, 20))})
	var b bytes.Buffer
	if err := doc.WriteRuns(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 5 || strings.Join(rows[1][:8], ",") != "A-1,seed,A,N1,flow,1,1,1" || rows[1][13] != "0.125" || rows[1][19] != "" {
		t.Errorf("%v: %v", err, rows)
	}
}

func TestReadRepairs(t *testing.T) {
	f := rig(2, 3)
	rs, err := ReadRepairs(strings.NewReader("runproof: repairs/1\nrepairs:\n- {run: A-2, date: 2026-05-14, what: new boot}\n- {head: B, date: 2026-05-20T12:30:00Z}\n- {node: N2, date: '2026-05-22'}\n"), "repairs.yaml", f)
	if err != nil || len(rs) != 3 || rs[0].Run != "A-2" || rs[0].What != "new boot" || rs[1].fromNS != rs[1].toNS || rs[0].toNS-rs[0].fromNS != 86400e9 {
		t.Fatalf("%v: %+v", err, rs)
	}
	for text, wants := range map[string][]string{
		"- {run: A-9, date: 2026-05-14}":          {"repairs.yaml:3:", `no sensed run "A-9"`},
		"- {run: A-2, head: B, date: 2026-05-14}": {"names 2"},
		"- {date: 2026-05-14}":                    {"names 0"},
		"- {run: A-2, date: 14.5.2026}":           {`"14.5.2026" is no date`, "2026-05-14"},
		"- {run: A-2}":                            {"date"},
		"- {rnu: A-2, date: 2026-05-14}":          {"rnu", "run"},
	} {
		_, err := ReadRepairs(strings.NewReader("runproof: repairs/1\nrepairs:\n"+text+"\n"), "repairs.yaml", f)
		for _, want := range wants {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v, wanted %q", text, err, want)
			}
		}
	}
}
