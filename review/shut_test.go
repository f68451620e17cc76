package review_test

import (
	"math"
	"testing"

	"runproof/drill"
	"runproof/review"
	"runproof/simulate"
)

// shutA is a drill of three heads of which a section shuts the first.
func shutA() *drill.Drill {
	d := threeHeads()
	d.Sections = []drill.Section{{ID: "LEFT", Heads: []drill.HeadID{"A"}}}
	return d
}

// TestShutGroundIsNoEvents: a section that is shut for 40 of the 100 seconds of a
// plugged run of it, on one pass, leaves 60 s at 2 m/s of a row of 0.25 m to the
// event. It is dated to about a frame at either end, and to half a second of flow
// that dies away or comes: 2 m in all.
func TestShutGroundIsNoEvents(t *testing.T) {
	d := shutA()
	f := fitOf(d)
	s := scenario(d, 0.5, simulate.Fault{Kind: review.Blocked, Run: "A-2", AtS: 300, ForS: 100, FallS: 1, Left: 0.04})
	s.Field.PassM = 1500
	s.Sections = []simulate.SectionSpell{{Section: "LEFT", AtS: 330, ForS: 40}}
	res := reviewed(t, f, recorded(t, s, f), 4096)
	if len(res.Events) != 1 {
		t.Fatalf("%d events", len(res.Events))
	}
	ev := res.Events[0]
	if want := (ev.Metres - 40*2) * 0.25; math.Abs(ev.AreaM2-want) > 0.5+0.03*40*2*0.25 {
		t.Errorf("%.1f m2, want %.1f: %s", ev.AreaM2, want, ev.Sentence)
	}
}

// TestHeadStarvedBesideAShutSection: a head that starves from the moment another is
// shut off, and comes back while it still is, is told by the one that goes on.
func TestHeadStarvedBesideAShutSection(t *testing.T) {
	d := shutA()
	f := fitOf(d)
	s := scenario(d, 0.5, simulate.Fault{Kind: review.HeadStarved, Head: "B", AtS: 320, ForS: 60, FallS: 2, Left: 0.4})
	s.Field.PassM = 1500
	s.Sections = []simulate.SectionSpell{{Section: "LEFT", AtS: 310, ForS: 130}}
	l := recorded(t, s, f)
	res := reviewed(t, f, l, 4096)
	if len(res.Events) != 1 || res.Events[0].Kind != review.HeadStarved || res.Events[0].Head != "B" {
		t.Fatalf("events: %+v", res.Events)
	}
	ev := res.Events[0]
	from, to := float64(ev.StartNS-l.TimeNS[0])/1e9, float64(ev.EndNS-l.TimeNS[0])/1e9
	if math.Abs(from-320) > 3 || math.Abs(to-380) > 5 {
		t.Errorf("from %.1f to %.1f s, was 320 to 380", from, to)
	}
}
