package drill

import (
	"slices"
	"testing"

	"runproof/check"
)

// Worked by hand on the contract's example: 48 rows at 0.25 m in ranks at 0,
// -0.6 and -1.2 m, head A at (-0.4, -4.5, 1.5) over rows 1 to 12.
func TestGeometry(t *testing.T) {
	d := evenDrill("geometry", 48, 0.25, 4)
	d.Heads[0].At = Point{-0.4, -4.5, 1.5}
	for _, c := range []struct {
		row  int
		want Point
	}{
		{1, Point{0, -5.875, 0}},
		{2, Point{-0.6, -5.625, 0}},
		{12, Point{-1.2, -3.125, 0}},
		{24, Point{-1.2, -0.125, 0}},
		{25, Point{0, 0.125, 0}},
		{48, Point{-1.2, 5.875, 0}},
	} {
		if got := d.RowAt(c.row); DistanceM(got, c.want) > 1e-12 {
			t.Errorf("row %d at %v, want %v", c.row, got, c.want)
		}
	}
	// Row 12: 0.8 back, 1.375 right, 1.1 down to the inlet at 0.4 m:
	// sqrt(0.64 + 1.890625 + 1.21) = 1.934070.
	row, reach := d.FarthestRow(d.Heads[0])
	if row != 12 || !near(reach, 1.9340695, 1e-7) {
		t.Errorf("farthest row %d at %v m", row, reach)
	}
	if w := d.WidthM(); w != 12 {
		t.Errorf("width %v", w)
	}
	if row, reach := d.FarthestRow(Head{}); row != 0 || reach != 0 {
		t.Errorf("a head without rows reaches row %d at %v m", row, reach)
	}
}

func TestSectionGeometry(t *testing.T) {
	d := sections()
	d.Sections[2].Heads = []HeadID{"A"} // and D-1 to D-6
	if got := d.SectionRows(d.Sections[2]); len(got) != 18 || got[0] != 1 || got[17] != 42 {
		t.Errorf("rows %v", got)
	}
	if w := d.SectionWidthM(d.Sections[2]); w != 4.5 {
		t.Errorf("width %v", w)
	}
	both := doubleShoot() // two products on a row: the row counts once
	if w := both.SectionWidthM(Section{Heads: []HeadID{"A", "E"}}); w != 3 {
		t.Errorf("width of seed and fertiliser over the same rows %v", w)
	}
}

func TestUnfedRows(t *testing.T) {
	if got := gaps().UnfedRows().String(); got != "4, 6, 9-11, 15-19, 21-22" {
		t.Errorf("unfed rows %s", got)
	}
}

func TestCheck(t *testing.T) {
	verdicts := func(d *Drill, rule string) []check.Verdict {
		var vs []check.Verdict
		for _, r := range Check(d) {
			if r.Rule == rule {
				vs = append(vs, r.Verdict())
			}
		}
		return vs
	}
	d := evenDrill("check", 12, 0.25, 1)
	d.Heads[0].At = Point{-0.4, 0, 1.5} // reach 1.934 m, as worked above
	for _, c := range []struct {
		name, rule string
		change     func(d *Drill)
		want       check.Verdict
	}{
		{"long hose", "hose reach", func(d *Drill) { d.Heads[0].HoseM = 2.4 }, check.Kept},
		{"taut hose", "hose reach", func(d *Drill) { d.Heads[0].HoseM = 2 }, check.Tight},
		{"short hose", "hose reach", func(d *Drill) { d.Heads[0].HoseM = 1.9 }, check.Broken},
		{"hose not said", "hose reach", func(d *Drill) { d.Heads[0].HoseM = 0 }, check.Unknown},
		{"wrong sign", "head beside its rows", func(d *Drill) { d.Heads[0].At.Right = -4.5 }, check.Broken},
		{"at the edge", "head beside its rows", func(d *Drill) { d.Heads[0].At.Right = -3 }, check.Kept},
		{"sensor past the hose", "sensor on its hose", func(d *Drill) { d.Heads[0].HoseM, d.Sensing.SensorFromHeadM = 2, 2.1 }, check.Broken},
		{"all rows fed", "rows that get nothing", func(*Drill) {}, check.Kept},
		{"a row unfed", "rows that get nothing", func(d *Drill) { d.Heads[0].Rows = d.Heads[0].Rows[1:] }, check.Broken},
		{"a and A", "heads called alike", func(d *Drill) { d.Heads = append(d.Heads, Head{ID: "a"}) }, check.Broken},
		{"run in two sections", "runs in several sections", func(d *Drill) {
			d.Sections = []Section{{ID: "S1", Heads: []HeadID{"A"}}, {ID: "S2", Runs: []RunID{"A-3"}}}
		}, check.Broken},
		{"frame in two pieces", "frame in one piece", func(d *Drill) { d.Frame.Points = []FramePoint{{ID: "P"}, {ID: "Q"}} }, check.Broken},
		{"frame joined", "frame in one piece", func(d *Drill) {
			d.Frame = Frame{[]FramePoint{{ID: "P"}, {ID: "Q"}, {ID: "R"}}, []FrameLink{{From: "Q", To: "P"}, {From: "R", To: "Q"}}}
		}, check.Kept},
	} {
		e := *d
		e.Heads = slices.Clone(d.Heads)
		c.change(&e)
		if got := verdicts(&e, c.rule); len(got) == 0 || got[0] != c.want && !slices.Contains(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The battery survives every question.
func TestCasesGeometry(t *testing.T) {
	for _, c := range Cases() {
		d := c.Drill
		if got := len(HeadOrder(d)); got != len(d.Heads) {
			t.Errorf("%s: %d of %d heads in order", c.Name, got, len(d.Heads))
		}
		for _, h := range d.Heads {
			row, reach := d.FarthestRow(h)
			if row == 0 || reach <= 0 || reach > 40 {
				t.Errorf("%s: head %s reaches row %d at %v m", c.Name, h.ID, row, reach)
			}
		}
		for _, s := range d.Sections {
			if d.SectionWidthM(s) <= 0 {
				t.Errorf("%s: section %s has no width", c.Name, s.ID)
			}
		}
		if len(Check(d)) != 3*len(d.Heads)+4 {
			t.Errorf("%s: %d results", c.Name, len(Check(d)))
		}
	}
}
