package review_test

import (
	"math"
	"testing"

	"runproof/drill"
	"runproof/review"
	"runproof/simulate"
)

// TestAreasOfADrawnDrill holds the areas of events to those that the simulation
// reckons for itself: bodies stepped 2 cm at a time, ground painted in squares of
// 5 cm, which is good to a thousandth for 100 m2 of a row. The antenna rides on
// each body, the cart between and behind; passes overlap by 0.6 m; a fault lasts
// through turns, and its own next pass goes over part of its ground. Bounds: an
// event is dated to about a frame at either end, half a second of 40 particles a
// second each: 2 m in all; so are starts of other passes that cover part of it.
func TestAreasOfADrawnDrill(t *testing.T) {
	for _, c := range []struct {
		name    string
		cart    drill.CartPosition
		antenna drill.Mount
		forward float64
	}{
		{"on the tractor, cart between", drill.CartBetween, drill.OnTractor, 11},
		{"on the cart", drill.CartBetween, drill.OnCart, 5},
		{"on the drill", drill.CartBetween, drill.OnDrill, 1.5},
		{"on the tractor, cart behind", drill.CartBehind, drill.OnTractor, 4.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := threeHeads()
			d.Cart.Position, d.Tow.Antenna, d.GNSS.At.Forward = c.cart, c.antenna, c.forward
			f := fitOf(d)
			s := scenario(d, 0.7, simulate.Fault{Kind: review.Blocked, Run: "A-2", AtS: 300, ForS: 200, FallS: 1, Left: 0.04},
				simulate.Fault{Kind: review.Blocked, Run: "C-6", AtS: 700, ForS: 600, FallS: 1, Left: 0.04},
				simulate.Fault{Kind: review.HeadStarved, Head: "B", AtS: 2010, ForS: 60, FallS: 2, Left: 0.3})
			s.Field.PassM, s.Field.OverlapM = 300, 0.6
			r, err := simulate.New(s, f)
			if err != nil {
				t.Fatal(err)
			}
			res, err := review.Run(f, r, review.Options{})
			if err != nil {
				t.Fatal(err)
			}
			truth := r.Truth()
			if len(res.Events) != len(truth.Events) {
				t.Fatalf("%d events", len(res.Events))
			}
			sum, want := 0.0, 0.0
			for i, ev := range res.Events {
				w := truth.Events[i].AreaM2
				sum, want = sum+ev.AreaM2, want+w
				rows := 1.0
				if ev.Run == "" {
					rows = 6
				}
				t.Logf("%s: %.2f m2, truly %.2f (%+.2f %%); swept %.2f", ev.Kind, ev.AreaM2, w, 100*(ev.AreaM2/w-1), ev.Metres*0.25*rows)
				if math.Abs(ev.AreaM2-w) > 2*0.25*rows+0.004*ev.Metres*0.25*rows {
					t.Errorf("%s of %s%s: %.2f m2, want %.2f", ev.Kind, ev.Run, ev.Head, ev.AreaM2, w)
				}
			}
			if math.Abs(sum/want-1) > 0.01 {
				t.Errorf("%.1f m2 in all, want %.1f", sum, want)
			}
			g := res.Summary.Ground.Products[0]
			if math.Abs(g.WorkedM2-g.SownM2-g.UnsownM2) > 0.2 || math.Abs(g.ShortM2-sum) > 0.01*sum {
				t.Errorf("%+v do not add up, or are not the events' %.1f m2", g, sum)
			}
		})
	}
}
