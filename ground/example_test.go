package ground_test

import (
	"fmt"
	"math"

	"runproof/drill"
	"runproof/ground"
	"runproof/track"
)

// A drill of 6 m behind a cart goes north for 200 m and back beside it, half a
// metre too near; row 20 was blocked for 50 s on the way back.
func ExampleField_Survey() {
	d := &drill.Drill{Rows: drill.Rows{Count: 24, SpacingM: 0.25, RanksM: []float64{0, -0.6}}}
	d.GNSS.At.Forward = 11 // on the tractor
	rig := ground.RigOf(d)
	fmt.Println(rig.Mount, "draws", len(rig.Links), "bodies")

	trail := ground.NewTrail(rig)
	plane := track.At(52, -106.5)
	for s := 0; s <= 295; s++ {
		m := 2 * float64(s) // metres along the way
		north, east := m, 0.0
		if over := m - 240; over > 0 && over < 2.75*math.Pi { // half a circle of 5.5 m across
			north, east = 240+2.75*math.Sin(over/2.75), 2.75*(1-math.Cos(over/2.75))
		} else if over > 0 {
			north, east = 240-(over-2.75*math.Pi), 5.5
		}
		lat, lon := plane.ToDegrees(north, east)
		work := s > 5 && s <= 105 || s > 145 && s <= 245
		trail.Add(ground.Fix{FromNS: int64(s-1) * 1e9, NS: int64(s) * 1e9, LatDeg: lat, LonDeg: lon, Work: work})
	}
	trail.Close()

	var rows []int
	for r := range d.Rows.Count {
		rows = append(rows, r+1)
	}
	survey := ground.NewField(trail, d).Survey(ground.Product{
		Rows:   rows,
		Spells: []ground.Spell{{Event: 1, Rows: []int{20}, FromNS: 170e9, ToNS: 220e9}},
	})
	fmt.Printf("%.0f m2 worked, %.0f m2 of it twice, %.1f m2 short\n", survey.WorkedM2, survey.DoubleM2, survey.ShortM2)
	// Output:
	// tractor draws 2 bodies
	// 2306 m2 worked, 94 m2 of it twice, 25.0 m2 short
}
