package review_test

import (
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/review"
	"runproof/simulate"
)

// TestTheQuickWayGivesTheSame: a day judged with the quick way for sound heads
// and one judged run by run throughout give the same documents, byte by byte:
// with a fault of each kind, in thin and thick flow (a sample's count from
// hardly one to more than a byte holds), with many counts lost, and on a drill of
// heads with one, two and many runs.
func TestTheQuickWayGivesTheSame(t *testing.T) {
	uneven := threeHeads()
	uneven.Heads[0].Rows, uneven.Heads[1].Rows, uneven.Heads[2].Rows = []int{1}, []int{2, 3}, []int{4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18}
	for _, c := range []struct {
		name   string
		drill  *drill.Drill
		perRun float64
		lost   float64
		faults []simulate.Fault
	}{
		{"every kind", threeHeads(), 40, 0.001, everyKind()},
		{"thin", threeHeads(), 4, 0.001, everyKind()},
		{"thick", threeHeads(), 2000, 0.001, everyKind()},
		{"losses", threeHeads(), 40, 0.3, everyKind()},
		{"uneven heads", uneven, 40, 0.001, []simulate.Fault{
			{Kind: review.Blocked, Run: "B-2", AtS: 300, ForS: 120, FallS: 1, Left: 0.04},
			{Kind: review.Restricted, Run: "C-3", AtS: 620, ForS: 250, FallS: 1, Left: 0.5},
		}},
	} {
		f := fitOf(c.drill)
		s := scenario(c.drill, 0.7, c.faults...)
		s.Flow[0].PerRunS = c.perRun
		s.Recorder.MissingShare = c.lost
		l := recorded(t, s, f)
		quick, byRun := resultOf(t, f, &replayed{Log: l, size: 500}, review.Options{}), resultOf(t, f, &replayed{Log: l, size: 500}, review.RunByRun(review.Options{}))
		a, b := strings.Split(quick, "\n"), strings.Split(byRun, "\n")
		for i := range min(len(a), len(b)) {
			if a[i] != b[i] {
				t.Errorf("%s: line %d: the quick way gives %q, run by run %q", c.name, i, a[i], b[i])
				break
			}
		}
		if len(a) != len(b) {
			t.Errorf("%s: %d lines, run by run %d", c.name, len(a), len(b))
		}
	}
}

func resultOf(t *testing.T, f *fit.Fit, r *replayed, opt review.Options) string {
	t.Helper()
	res, err := review.Run(f, r, opt)
	if err != nil {
		t.Fatal(err)
	}
	return written(t, res)
}
