package simulate_test

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/input"
	"runproof/review"
	"runproof/simulate"
)

func TestReadNamesPlaceAndRemedy(t *testing.T) {
	_, err := simulate.Read(strings.NewReader(`runproof: scenario/1
kind: dya
intervall_s: 0.5
hours: -1
faults:
  - {kind: blokced, run: A-1, at_s: 1, for_s: 2}
  - {kind: blocked, run: A-1, at_s: 1, for_s: 0}
`), "day.yaml")
	var faults input.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("want faults, have %v", err)
	}
	for _, want := range []string{"day.yaml:2:", "day.yaml:3:", "interval_s", "day.yaml:4:", "day.yaml:6:", "blocked", "day.yaml:7:"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("message lacks %q:\n%v", want, err)
		}
	}
}

func TestCheckAgainstFit(t *testing.T) {
	s := simulate.Defaults()
	s.Faults = []simulate.Fault{
		{Kind: review.Blocked, Run: "A-99", ForS: 1},
		{Kind: review.HeadStarved, Head: "Z", ForS: 1},
		{Kind: review.NoData, Node: "Ab", ForS: 1},
	}
	s.Sections = []simulate.SectionSpell{{Section: "LEFT", ForS: 1}}
	s.Walk.SharedHoses = [][]drill.RunID{{"A-1"}}
	err := s.Check(fitOf(twoHeads(3)), "day.yaml")
	var faults input.Faults
	if !errors.As(err, &faults) || len(faults) != 5 {
		t.Fatalf("want 5 faults, have %v", err)
	}
}

// TestCheckNamesPlace: what does not agree with the fit is shown at its line
// and column, with what is likely meant.
func TestCheckNamesPlace(t *testing.T) {
	s, err := simulate.Read(strings.NewReader(`runproof: scenario/1
kind: day
rates:
  - {product: seeed, at_s: 2, factor: 2}
faults:
  - {kind: blocked, run: A-9, at_s: 1, for_s: 2}
  - {kind: head_starved, at_s: 1, for_s: 2}
  - {kind: no_data, node: Bb, at_s: 1, for_s: 2}
walk:
  swaps: [[A-1, A-2], [A-3, C-1]]
  shared_hoses: [[A-1]]
`), "day.yaml")
	if err != nil {
		t.Fatal(err)
	}
	got := fmt.Sprint(s.Check(fitOf(twoHeads(3)), "day.yaml"))
	for _, want := range []string{
		`day.yaml:4:15: product "seeed" is not in the fit; did you mean seed?`,
		`day.yaml:6:26: sensed run "A-9" is not in the fit; did you mean A-1?`,
		`day.yaml:7:5: no head is named; say head: one of A, B`,
		`day.yaml:8:27: node "Bb" is not in the fit; did you mean Ba?`,
		`day.yaml:10:29: sensed run "C-1" is not in the fit; did you mean A-1?`,
		`day.yaml:11:18: shared hoses are pairs, not 1 runs; name two runs`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("message lacks %q:\n%v", want, got)
		}
	}
}

// FuzzRead: a scenario is read or refused with a place, never a panic.
func FuzzRead(f *testing.F) {
	f.Add("runproof: scenario/1\nkind: walk\nwalk: {swaps: [[A-1, A-2]]}\n")
	f.Add("runproof: scenario/1\nkind: day\nfaults: [{kind: noisy, run: A-1, at_s: 1, for_s: 2}]\n")
	f.Fuzz(func(t *testing.T, text string) {
		if _, err := simulate.Read(strings.NewReader(text), "f.yaml"); err != nil {
			var faults input.Faults
			if !errors.As(err, &faults) {
				t.Fatalf("no place: %v", err)
			}
		}
	})
}

// Two hoses pushed on in each other's place, and a dead sensor: the marks and
// the truth of a walk.
func ExampleNew() {
	s := simulate.Defaults()
	s.Kind, s.Start = simulate.Yard, "0"
	s.Walk.Swaps = [][]drill.RunID{{"A-1", "A-3"}}
	s.Walk.DeadSensors = []drill.RunID{"B-2"}
	s.Walk.MarkOffsetS, s.Walk.MarkJitterS = -20, 0
	r, err := simulate.New(&s, fitOf(twoHeads(3)))
	if err != nil {
		fmt.Println(err)
		return
	}
	if _, err := flowlog.ReadAll(r); err != nil {
		fmt.Println(err)
		return
	}
	for _, run := range r.Truth().Runs {
		fmt.Println(run.Run, run.Verdict)
	}
	r.WriteMarks(os.Stdout)
	// Output:
	// A-1 moved
	// A-2 as_planned
	// A-3 moved
	// B-1 as_planned
	// B-2 silent
	// B-3 as_planned
	// time,run
	// 35,A-1
	// 42.35,A-2
	// 49.86,A-3
	// 57.29,B-1
	// 64.53,B-2
	// 71.89,B-3
}

// A fault of a scenario names its place, and what may have been meant.
func ExampleRead() {
	s, err := simulate.Read(strings.NewReader(`runproof: scenario/1
kind: day
hours: 0.5
faults:
  - {kind: blocked, run: A-4, at_s: 600, for_s: 120, left: 0.05}
`), "day.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Kind, s.Hours, "h of", s.IntervalS, "s")
	fmt.Println(s.Check(fitOf(twoHeads(3)), ""))
	// Output:
	// day 0.5 h of 0.5 s
	// day.yaml:5:26: sensed run "A-4" is not in the fit; did you mean A-1?
}
