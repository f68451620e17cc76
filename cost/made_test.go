package cost

import (
	"fmt"

	"runproof/drill"
	"runproof/review"
	"runproof/track"
)

// drill8 is one head of eight rows at 0.25 m of the material.
func drill8(material string, rateKgHa float64) *drill.Drill {
	return &drill.Drill{
		Name: "eight rows", Rows: drill.Rows{Count: 8, SpacingM: 0.25, RanksM: []float64{0}},
		Products: []drill.Product{{ID: "seed", Material: material, RateKgHa: rateKgHa}},
		Heads:    []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2, 3, 4, 5, 6, 7, 8}}},
	}
}

// blocked is an event of one run, from and to in seconds of the log, at 2 m/s.
func blocked(id, row int, from, to float64) review.Event {
	return review.Event{
		ID: id, Kind: review.Blocked, Run: drill.NewRunID("A", row), Head: "A", Product: "seed", Lost: 0.97,
		Start: fmt.Sprint(from), End: fmt.Sprint(to), Metres: 2 * (to - from), AreaM2: 0.5 * (to - from),
	}
}

// lost makes it a part of the flow lost.
func lost(ev review.Event, kind review.Kind, part float64) review.Event {
	ev.Kind, ev.Lost = kind, part
	return ev
}

// of is an estimate of one day without places.
func of(d *drill.Drill, a Assumptions, events ...review.Event) *Document {
	return Estimate(Input{Drill: d, Days: []Day{{Events: events}}, Assumptions: a, Seed: 1})
}

// strip is a skip between two rows' outer edges, metres east, from south to
// north.
func strip(event int, westM, eastM, southM, northM float64) Skip {
	return Skip{Event: event, Polygons: [][]Ring{{ringOf([][2]float64{{eastM, southM}, {eastM, northM}, {westM, northM}, {westM, southM}})}}}
}

// ringOf closes a ring of places, metres east and north of a field in
// Saskatchewan's middle.
func ringOf(en [][2]float64) Ring {
	p := track.At(52, -106.5)
	var out Ring
	for _, c := range append(en, en[0]) {
		lat, lon := p.ToDegrees(c[1], c[0])
		out = append(out, [2]float64{lon, lat})
	}
	return out
}

func ranged(v ...float64) *Range {
	switch len(v) {
	case 1:
		return &Range{v[0], v[0], v[0]}
	case 2:
		return &Range{v[0], (v[0] + v[1]) / 2, v[1]}
	}
	return &Range{v[0], v[1], v[2]}
}

// madeEvents are one of each kind that leaves ground short.
var madeEvents = []review.Event{
	blocked(1, 3, 0, 100), blocked(2, 4, 50, 120), lost(blocked(3, 6, 0, 90), review.Restricted, 0.5),
	{ID: 4, Kind: review.HeadStarved, Head: "A", Product: "seed", Lost: 0.4, Start: "200", End: "260", Metres: 120, AreaM2: 240},
	{ID: 5, Kind: review.ProductOut, Product: "seed", Lost: 0.98, Start: "300", End: "330", Metres: 60, AreaM2: 120},
}
