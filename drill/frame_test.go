package drill

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Every drill has a frame in one piece that comes near each head and the power
// point.
func TestFrameOrDefaultReachesAll(t *testing.T) {
	for _, c := range Cases() {
		f := c.Drill.FrameOrDefault()
		if n := len(f.Pieces()); n != 1 {
			t.Errorf("%s: %d pieces", c.Name, n)
		}
		for _, h := range c.Drill.Heads {
			if foot, ok := f.Foot(h.At); !ok || foot.OffM > 1.5 {
				t.Errorf("%s: head %s is %g m off the frame", c.Name, h.ID, foot.OffM)
			}
		}
		if foot, _ := f.Foot(c.Drill.Places().Supply); foot.OffM > 0.1 {
			t.Errorf("%s: the power point is %g m off the frame", c.Name, foot.OffM)
		}
	}
}

func pointIDs(f Frame) []string {
	var s []string
	for _, p := range f.Points {
		s = append(s, p.ID)
	}
	return s
}

func TestFrameOrDefault(t *testing.T) {
	at := func(forward, right, up float64) Point { return Point{forward, right, up} }
	bar := Frame{
		Points: []FramePoint{{"l", at(0, -4, 1)}, {"r", at(0, 4, 1)}},
		Links:  []FrameLink{{From: "l", To: "r"}},
	}
	folded := Frame{Points: bar.Points, Links: []FrameLink{{"l", "r", 0.5}}}
	tongue := Frame{
		Points: append(slices.Clone(bar.Points), FramePoint{"eye", at(3.5, 0.1, 0.6)}),
		Links:  []FrameLink{{"l", "r", 0}, {"r", "eye", 0}},
	}
	all := Frame{
		Points: append(slices.Clone(bar.Points), FramePoint{PointTractor, at(9, 0, 1)}),
		Links:  []FrameLink{{"l", "r", 0}, {"r", PointTractor, 0}},
	}
	mounted := at(0.2, 0, 1)
	heads := []Head{{ID: "A", At: at(-0.4, -2, 1.5)}, {ID: "B", At: at(-2, 2, 1.5)}, {ID: "C", At: at(-0.2, 2, 1.5)}}
	for _, c := range []struct {
		name string
		d    Drill
		want []string
	}{
		{"no heads, as a person begins", Drill{}, []string{"hitch", "cart-rear", "cart-front", "tractor"}},
		{"one bar a rank of heads", Drill{Heads: heads}, []string{"left-tip", "centre", "right-tip", "left-tip-2", "centre-2", "right-tip-2", "hitch", "cart-rear", "cart-front", "tractor"}},
		{"cart behind", Drill{Heads: heads[:1], Cart: Cart{Position: CartBehind}}, []string{"left-tip", "centre", "right-tip", "hitch", "tractor", "rear", "cart-front", "cart-rear"}},
		{"a told bar is cut where the drawbar meets it", Drill{Heads: heads[:1], Frame: bar}, []string{"l", "r", "centre", "hitch", "cart-rear", "cart-front", "tractor"}},
		{"a told bar with a fold is not cut", Drill{Heads: heads[:1], Frame: folded}, []string{"l", "r", "hitch", "cart-rear", "cart-front", "tractor"}},
		{"the end of a told drawbar is the hitch", Drill{Frame: tongue}, []string{"l", "r", "eye", "hitch", "cart-rear", "cart-front", "tractor"}},
		{"a told power point on the frame needs no tractor", Drill{Frame: bar, Supply: Supply{At: &mounted}}, []string{"l", "r", "centre", "hitch", "cart-rear", "cart-front"}},
		{"nor, with the cart behind, anything ahead", Drill{Frame: bar, Supply: Supply{At: &mounted}, Cart: Cart{Position: CartBehind}}, []string{"l", "r", "centre", "rear", "cart-front", "cart-rear"}},
		{"a told way to the tractor stays", Drill{Frame: all}, []string{"l", "r", "tractor", "centre", "hitch", "cart-rear", "cart-front"}},
		{"pieces are not joined", Drill{Frame: Frame{Points: bar.Points}}, []string{"l", "r"}},
	} {
		told := slices.Clone(c.d.Frame.Links)
		f := c.d.FrameOrDefault()
		if got := pointIDs(f); !slices.Equal(got, c.want) {
			t.Errorf("%s: points %v, want %v", c.name, got, c.want)
		}
		if !slices.Equal(told, c.d.Frame.Links) {
			t.Errorf("%s: the told links were changed", c.name)
		}
	}
	if got := (&Drill{Frame: tongue}).Places().Hitch; got != at(3.5, 0.1, 0.6) {
		t.Errorf("hitch at %v, want the end of the drawbar", got)
	}
}

// The way from the bar to the power point has slack where the outfit turns: at
// the hitch of the drill and at that of the tractor.
func TestFrameTurns(t *testing.T) {
	for _, c := range []struct {
		cart CartPosition
		want []FrameLink
	}{
		{CartBetween, []FrameLink{{"hitch", "cart-rear", 0.5}, {"cart-front", "tractor", 0.5}}},
		{CartBehind, []FrameLink{{"hitch", "tractor", 0.5}, {"rear", "cart-front", 0.5}}},
	} {
		d := oneRow()
		d.Cart.Position = c.cart
		var got []FrameLink
		for _, l := range d.FrameOrDefault().Links {
			if l.SlackM > 0 {
				got = append(got, l)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("cart %v: %v, want %v", c.cart, got, c.want)
		}
	}
}

func TestFoot(t *testing.T) {
	f := Frame{
		Points: []FramePoint{{"a", Point{0, -3, 1}}, {"b", Point{0, 3, 1}}, {"c", Point{4, 3, 1}}},
		Links:  []FrameLink{{From: "a", To: "b"}, {From: "b", To: "c"}},
	}
	for _, c := range []struct {
		name string
		p    Point
		want Foot
	}{
		{"beside a link: 3, 4, 5", Point{-3, 0, 5}, Foot{Point{0, 0, 1}, 0, 0.5, 5}},
		{"beyond an end", Point{0, -5, 1}, Foot{Point{0, -3, 1}, 0, 0, 2}},
		{"at a corner the first link has it", Point{0, 3, 2}, Foot{Point{0, 3, 1}, 0, 1, 1}},
		{"on the second", Point{1, 4, 1}, Foot{Point{1, 3, 1}, 1, 0.25, 1}},
	} {
		if got, ok := f.Foot(c.p); !ok || got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	if got, ok := (Frame{Points: f.Points[:2]}).Foot(Point{0, 2, 1}); !ok || got.At != f.Points[1].At || got.Link != -1 {
		t.Errorf("points without links: %v", got)
	}
	if _, ok := (Frame{}).Foot(Point{}); ok {
		t.Error("a frame without points has no foot")
	}
}

// No point of a link is nearer than the foot.
func TestFootIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		point := func(what string) Point {
			return Point{rapid.Float64Range(-9, 9).Draw(t, what), rapid.Float64Range(-9, 9).Draw(t, what), rapid.Float64Range(0, 4).Draw(t, what)}
		}
		a, b, p, part := point("a"), point("b"), point("p"), rapid.Float64Range(0, 1).Draw(t, "part")
		f := Frame{Points: []FramePoint{{"a", a}, {"b", b}}, Links: []FrameLink{{From: "a", To: "b"}}}
		foot, _ := f.Foot(p)
		other := Point{a.Forward + part*(b.Forward-a.Forward), a.Right + part*(b.Right-a.Right), a.Up + part*(b.Up-a.Up)}
		// The foot is rounded to micrometres.
		if d := DistanceM(other, p); d < foot.OffM-2e-6 || math.Abs(DistanceM(foot.At, p)-foot.OffM) > 1e-9 {
			t.Fatalf("%v is %g m away, the foot %v", other, d, foot)
		}
	})
}

// Whatever is told, the frame is in one piece unless it was told in several,
// and a power point nobody told is reached.
func TestFrameAnyDrill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Cases()[rapid.IntRange(0, len(Cases())-1).Draw(t, "case")].Drill
		d.Cart.Position = CartPosition(rapid.IntRange(0, 1).Draw(t, "cart"))
		d.Frame = Frame{}
		names := []string{"a", "b", "rear", "hitch", "centre", "tractor", "cart-front", "centre-2"}
		for i := range rapid.IntRange(0, len(names)).Draw(t, "points") {
			at := Point{rapid.Float64Range(-9, 9).Draw(t, "forward"), rapid.Float64Range(-9, 9).Draw(t, "right"), 1}
			d.Frame.Points = append(d.Frame.Points, FramePoint{names[i], at})
			if i > 0 && rapid.IntRange(0, 9).Draw(t, "linked") > 0 {
				d.Frame.Links = append(d.Frame.Links, FrameLink{names[rapid.IntRange(0, i-1).Draw(t, "to")], names[i], 0.3 * float64(rapid.IntRange(0, 1).Draw(t, "hinge"))})
			}
		}
		told, f := len(d.Frame.Pieces()), d.FrameOrDefault()
		if n := len(f.Pieces()); n != max(1, told) {
			t.Fatalf("told in %d pieces, now %d: %v", told, n, f)
		}
		seen := map[string]bool{}
		for _, p := range f.Points {
			if seen[p.ID] {
				t.Fatalf("point %s twice", p.ID)
			}
			seen[p.ID] = true
		}
		if _, tractor := d.Frame.Point(PointTractor); told <= 1 && !tractor {
			if foot, _ := f.Foot(d.Places().Supply); foot.OffM > 0.1 {
				t.Fatalf("the power point is %g m off %v", foot.OffM, f)
			}
		}
	})
}
