package drill

import "testing"

// The battery is what its names say.
func TestCases(t *testing.T) {
	want := map[string]struct{ rows, heads, runs, unfed int }{
		"one row":                           {1, 1, 1, 0},
		"400 rows, 60 heads":                {400, 60, 400, 0},
		"gaps in rows":                      {24, 2, 12, 12},
		"two products on the same rows":     {48, 8, 96, 0},
		"closed runs":                       {36, 3, 36, 0},
		"mid-row banding at half the rows":  {40, 6, 60, 0},
		"sections":                          {48, 4, 48, 0},
		"uneven heads":                      {40, 4, 40, 0},
		"cart behind":                       {60, 5, 60, 0},
		"two ranks of heads, folding frame": {72, 6, 72, 0},
	}
	for _, c := range Cases() {
		d, w := c.Drill, want[c.Name]
		if d.Rows.Count != w.rows || len(d.Heads) != w.heads || len(d.Runs()) != w.runs || len(d.UnfedRows()) != w.unfed {
			t.Errorf("%s: %d rows, %d heads, %d runs, %d unfed; want %v", c.Name, d.Rows.Count, len(d.Heads), len(d.Runs()), len(d.UnfedRows()), w)
		}
	}
	if len(Cases()) != len(want) {
		t.Errorf("%d cases, %d described", len(Cases()), len(want))
	}
}
