package dossier

import (
	"strings"
	"testing"

	"runproof/drill"
	"runproof/workstate"
)

// What the walk tells of the work-state switch stands with the proof, and a switch
// that somebody must look at is headed so; a recording without the column says
// nothing.
func TestWorkColumnIsTold(t *testing.T) {
	f := fixture(drill.Cases()[4].Drill)
	book := func(a *workstate.Agreement) string {
		p := fixtureProof(f)
		p.WorkState = a
		return strings.Join(strings.Fields(strings.Join(pageTexts(Book(Input{Fit: f, Proof: p})), " ")), " ")
	}
	const heading, words = "Work-state switch", "Lower it once more."
	without := strings.Count(book(nil), heading)
	for v := workstate.Unsure; v <= workstate.Absent; v++ {
		got := book(&workstate.Agreement{Verdict: v, Words: words})
		if strings.Count(got, heading) != without+1 || !strings.Contains(got, words) || strings.Contains(got, heading+" to look at") != v.Attention() {
			t.Errorf("%v is not told, or not as it should be", v)
		}
	}
}
