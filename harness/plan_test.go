package harness

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
)

// sound checks what every planned harness must have.
func sound(t testing.TB, f *fit.Fit, h fit.Harness, cat parts.Catalogue) {
	t.Helper()
	places := map[string]fit.Place{}
	for _, p := range h.Places {
		if _, twice := places[p.ID]; twice {
			t.Errorf("place %s twice", p.ID)
		}
		places[p.ID] = p
	}
	if h.Places[0].ID != "supply" || places["gateway"].Kind != fit.GatewayPlace {
		t.Errorf("places %v", h.Places)
	}
	for _, n := range f.Nodes {
		head, _ := f.Drill.Head(n.Head)
		if p := places[n.Serial]; p.Kind != fit.NodePlace || p.At != head.At {
			t.Errorf("node %s stands at %v, its head at %v", n.Serial, p.At, head.At)
		}
	}
	reached := map[string]bool{"supply": true}
	degree := map[string]int{} // on the backbone
	busM := 0.0
	for i, leg := range h.Legs {
		if leg.ID != fmt.Sprintf("L%d", i+1) || !reached[leg.From] || reached[leg.To] {
			t.Errorf("leg %s from %s to %s: legs are numbered, and lead away from the supply", leg.ID, leg.From, leg.To)
		}
		reached[leg.To] = true
		soundLeg(t, leg, places, cat)
		if leg.Bus {
			degree[leg.From]++
			degree[leg.To]++
			busM += leg.LengthM
		}
	}
	for _, p := range h.Places {
		if p.Kind == fit.JunctionPlace && h.Ways(p.ID) < 3 {
			t.Errorf("junction %s joins %d ways", p.ID, h.Ways(p.ID))
		}
	}
	if len(reached) != len(h.Places) {
		t.Errorf("%d of %d places are reached", len(reached), len(h.Places))
	}
	for i, id := range h.Bus {
		want := 2
		if i == 0 || i == len(h.Bus)-1 {
			want = 1
		}
		if degree[id] != want {
			t.Errorf("%s is the %d. of %d on the backbone with %d ways", id, i+1, len(h.Bus), degree[id])
		}
	}
	if math.Abs(busM-h.BusM) > 1e-3 || h.RouteM > h.BusM {
		t.Errorf("backbone %g m, its legs %g m, its way %g m", h.BusM, busM, h.RouteM)
	}
}

func soundLeg(t testing.TB, leg fit.Leg, places map[string]fit.Place, cat parts.Catalogue) {
	t.Helper()
	way := 0.0
	for i := 1; i < len(leg.Path); i++ {
		way += drill.DistanceM(leg.Path[i-1], leg.Path[i])
	}
	if len(leg.Path) < 2 || math.Abs(way-leg.RouteM) > 1e-5 ||
		drill.DistanceM(leg.Path[0], places[leg.From].At) > 1e-6 || drill.DistanceM(leg.Path[len(leg.Path)-1], places[leg.To].At) > 1e-6 {
		t.Errorf("%s: way %v of %g m is said to be %g m from %v to %v", leg.ID, leg.Path, way, leg.RouteM, places[leg.From], places[leg.To])
	}
	slack, sum := 0.0, 0.0
	for _, h := range leg.Hinges {
		slack += h.SlackM
	}
	for _, id := range leg.Pieces {
		p, ok := cat.Part(id)
		if !ok || p.AreaMM2 != leg.AreaMM2 {
			t.Errorf("%s: piece %s of %g mm² in a leg of %g mm²", leg.ID, id, p.AreaMM2, leg.AreaMM2)
		}
		sum += p.LengthM
	}
	if slack != leg.HingeM || math.Abs(sum-leg.LengthM) > 1e-9 || leg.SurplusM() < -1e-9 || leg.LoopM < usualLoopM {
		t.Errorf("%s: %+v", leg.ID, leg)
	}
}

// Every drill of the battery, with boxes in the line and on drops, gateway near
// and far, is planned without a broken rule.
func TestCases(t *testing.T) {
	cat := parts.BuiltIn()
	drop := cat
	drop.Parts = slices.Clone(cat.Parts)
	for i := range drop.Parts {
		if drop.Parts[i].Kind == parts.Node {
			drop.Parts[i].Joins = parts.Drop
		} else if drop.Parts[i].Kind == parts.Gateway {
			drop.Parts[i].Joins = parts.Through
		}
	}
	for _, c := range drill.Cases() {
		for name, cat := range map[string]parts.Catalogue{"through": cat, "drop": drop} {
			t.Run(c.Name+"/"+name, func(t *testing.T) {
				f := oneNodeAHead(c.Drill)
				f.Nodes = append(f.Nodes, fit.Node{Serial: "second", Part: "node-12", Head: f.Nodes[0].Head})
				h, rs, err := Plan(f, cat, ahead(c.Drill), Options{StubMaxM: 1})
				if err != nil {
					t.Fatal(err)
				}
				sound(t, f, h, cat)
				if !h.Optimal {
					t.Errorf("a frame without rings, but %s", h.Bound)
				}
				for _, r := range rs.With(check.Broken) {
					t.Error(r)
				}
			})
		}
	}
}

// A drill and its mirror image have equally long backbones.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drill.Cases()[rapid.IntRange(0, len(drill.Cases())-1).Draw(t, "case")].Drill
		for i := range d.Heads {
			d.Heads[i].At.Right += float64(rapid.IntRange(-1500, 1500).Draw(t, "moved")) / 1000
		}
		gateway := drill.Point{Forward: rapid.Float64Range(-8, 8).Draw(t, "forward"), Right: rapid.Float64Range(-3, 3).Draw(t, "right"), Up: 1.4}
		a, _, err := Plan(oneNodeAHead(d), parts.BuiltIn(), gateway, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range d.Heads {
			d.Heads[i].At.Right *= -1
		}
		for i := range d.Frame.Points {
			d.Frame.Points[i].At.Right *= -1
		}
		gateway.Right *= -1
		b, _, err := Plan(oneNodeAHead(d), parts.BuiltIn(), gateway, Options{})
		if err != nil {
			t.Fatal(err)
		}
		// Each stretch is rounded to a micrometre from its other end.
		if tol := 1e-6*float64(4*len(a.Legs)) + 1e-3; math.Abs(a.RouteM-b.RouteM) > tol {
			t.Fatalf("%g m, its mirror image %g m", a.RouteM, b.RouteM)
		}
	})
}

// Any catalogue, stub limit and place of the gateway: a sound harness.
func TestAnyGateway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drill.Cases()[rapid.IntRange(0, len(drill.Cases())-1).Draw(t, "case")].Drill
		cat := parts.BuiltIn()
		for i := range cat.Parts {
			if k := cat.Parts[i].Kind; k == parts.Node || k == parts.Gateway {
				cat.Parts[i].Joins = parts.Joining(rapid.IntRange(0, 1).Draw(t, "joins"))
			}
		}
		gateway := drill.Point{Forward: rapid.Float64Range(-20, 20).Draw(t, "forward"), Right: rapid.Float64Range(-9, 9).Draw(t, "right"), Up: rapid.Float64Range(0, 4).Draw(t, "up")}
		d.Cart.Position = drill.CartPosition(rapid.IntRange(0, 1).Draw(t, "cart"))
		if rapid.Bool().Draw(t, "supply told") {
			d.Supply.At = &drill.Point{Forward: rapid.Float64Range(-9, 12).Draw(t, "supply forward"), Right: rapid.Float64Range(-2, 2).Draw(t, "supply right"), Up: 1}
		}
		opt := Options{StubMaxM: rapid.SampledFrom([]float64{0, math.NaN(), 0.3, 1, 11}).Draw(t, "stub"), AreaMM2: rapid.SampledFrom([]float64{0, 1.5, 4}).Draw(t, "area")}
		f := oneNodeAHead(d)
		h, _, err := Plan(f, cat, gateway, opt)
		if err != nil {
			t.Fatal(err)
		}
		var tb quiet
		sound(&tb, f, h, cat)
		if len(tb.said) > 0 {
			t.Fatal(strings.Join(tb.said, "\n"))
		}
		for _, leg := range h.Legs {
			if leg.Drop && leg.RouteM > opt.StubMaxM && opt.StubMaxM > 0 {
				t.Fatalf("drop of %g m with a limit of %g m", leg.RouteM, opt.StubMaxM)
			}
			if leg.AreaMM2 < opt.AreaMM2 {
				t.Fatalf("leg of %g mm², %g wanted", leg.AreaMM2, opt.AreaMM2)
			}
		}
	})
}

// quiet gathers what a check says, for rapid to shrink.
type quiet struct {
	testing.TB
	said []string
}

func (q *quiet) Helper() {}

func (q *quiet) Errorf(format string, args ...any) {
	q.said = append(q.said, fmt.Sprintf(format, args...))
}

// A drop that is too long moves its junction to the box.
func TestDropTooLong(t *testing.T) {
	d := drill.Cases()[2].Drill
	cat := parts.BuiltIn()
	for _, c := range []struct {
		up, stubM float64
		wantDrop  float64 // way of the drop, m
	}{
		{1.4, 1, 0.4}, // 0.4 m and 5 % and 0.3 m: a leg of 1 m
		{1.4, 0.9, 0}, // would be 1 m as laid
		{2.4, 11, 1.4},
		{2.4, 1, 0},
		{2.4, 0, 1.4}, // no limit
	} {
		gateway := ahead(d)
		gateway.Right, gateway.Up = 0, c.up
		h, _, err := Plan(oneNodeAHead(d), cat, gateway, Options{StubMaxM: c.stubM})
		if err != nil {
			t.Fatal(err)
		}
		leg := h.Legs[1]
		if !leg.Drop || leg.From != "J1" || leg.To != "gateway" || math.Abs(leg.RouteM-c.wantDrop) > 1e-6 {
			t.Errorf("gateway %g m up, drops at most %g m: %+v", c.up, c.stubM, leg)
		}
	}
}

// Each hinge on the way adds its slack once to each leg that uses its link.
func TestHinges(t *testing.T) {
	d := drill.Cases()[9].Drill // F1-F2 and F3-F4 with 0.6 m each
	h, rs, err := Plan(oneNodeAHead(d), parts.BuiltIn(), ahead(d), Options{})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, leg := range h.Legs {
		if leg.Bus {
			got[leg.To] = leg.HingeM
		}
	}
	// N3 and N4 are within the middle part, the others on the wings.
	for id, want := range map[string]float64{"N1": 0.6, "N2": 0.6, "N3": 0, "N4": 0, "N5": 0.6, "N6": 0.6} {
		if got[id] != want {
			t.Errorf("leg to %s: %g m for hinges, want %g m", id, got[id], want)
		}
	}
	if rs.Worst() != check.Kept {
		t.Errorf("%v", rs)
	}
	d.Frame.Links[0].SlackM = 0.1
	_, rs, _ = Plan(oneNodeAHead(d), parts.BuiltIn(), ahead(d), Options{})
	if broken := rs.With(check.Broken); len(broken) != 1 || !strings.HasPrefix(broken[0].String(), "slack over a hinge, F1 to F2, leg L4: 0.10 m, at least 0.30 m, off by 0.20 m") {
		t.Errorf("0.1 m over a fold: %v", broken)
	}
}

// That the frame is in pieces is for the drill's own rules to say, once.
func TestFrameInPieces(t *testing.T) {
	d := drill.Cases()[9].Drill
	d.Frame.Links = d.Frame.Links[:2]
	h, rs, err := Plan(oneNodeAHead(d), parts.BuiltIn(), ahead(d), Options{})
	if err != nil || len(h.Legs) > 0 || len(rs) != 0 {
		t.Fatalf("%v, %v, %v", h, rs, err)
	}
	want := "frame in one piece, F1 F2 F3 | F4: 2, at most 1, off by 1 (a harness cannot cross a gap); join the pieces with links"
	if got := drill.Check(d).With(check.Broken); len(got) != 1 || got[0].String() != want {
		t.Errorf("got  %v\nwant %s", got, want)
	}
}

func TestChecksThatWantAPerson(t *testing.T) {
	d := drill.Cases()[2].Drill
	d.Heads[0].At.Forward = -2.4
	d.Frame = drill.Frame{Points: []drill.FramePoint{{ID: "a", At: drill.Point{Right: -3, Up: 1}}, {ID: "b", At: drill.Point{Right: 3, Up: 1}}}, Links: []drill.FrameLink{{From: "a", To: "b"}}}
	_, rs, err := Plan(oneNodeAHead(d), stockOf(0.4), ahead(d), Options{StubMaxM: 0.3})
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]check.Verdict{}
	for _, r := range rs {
		if r.Verdict().Worse(said[r.Rule]) || said[r.Rule] == check.Unknown {
			said[r.Rule] = r.Verdict()
		}
	}
	for rule, want := range map[string]check.Verdict{
		"way off the frame": check.Tight, "leg covered from stock": check.Kept,
		"joints within a leg": check.Broken, "drop as laid": check.Broken, "surplus to coil": check.Kept,
	} {
		if said[rule] != want {
			t.Errorf("%s: %v, want %v", rule, said[rule], want)
		}
	}
	_, rs, _ = Plan(oneNodeAHead(d), parts.Catalogue{}, ahead(d), Options{})
	if n := rs.Count(check.Broken); n != 4 { // each leg
		t.Errorf("no legs in stock, but %d broken: %v", n, rs)
	}
}

func TestFaults(t *testing.T) {
	d := drill.Cases()[0].Drill
	f := oneNodeAHead(d)
	if _, _, err := Plan(f, parts.BuiltIn(), ahead(d), Options{Gateway: "gatway"}); err == nil || err.Error() != `"gatway" is no gateway of the catalogue; did you mean gateway?` {
		t.Errorf("misspelt gateway: %v", err)
	}
	f.Nodes[0].Head = "Z"
	if _, _, err := Plan(f, parts.BuiltIn(), ahead(d), Options{}); err == nil || !strings.Contains(err.Error(), `node N1 is mounted at head "Z"`) {
		t.Errorf("unknown head: %v", err)
	}
	if h, rs, err := Plan(&fit.Fit{Drill: *d}, parts.BuiltIn(), ahead(d), Options{}); err != nil || len(rs) > 0 || len(h.Places) > 0 {
		t.Errorf("no nodes: %v, %v, %v", h, rs, err)
	}
}

// Larger cross-sections where they are wanted; ways and names stay.
func TestResize(t *testing.T) {
	d, cat := drill.Cases()[3].Drill, parts.BuiltIn()
	f := oneNodeAHead(d)
	h, _, err := Plan(f, cat, ahead(d), Options{})
	if err != nil {
		t.Fatal(err)
	}
	before := h.Legs[2]
	big := Resize(h, cat, Options{LegArea: map[string]float64{"L1": 2, "L3": 4}})
	sound(t, f, big, cat)
	for i, want := range []float64{2.5, 1, 4, 1} {
		if big.Legs[i].AreaMM2 != want {
			t.Errorf("%s: %g mm², want %g", big.Legs[i].ID, big.Legs[i].AreaMM2, want)
		}
	}
	if !slices.Equal(h.Legs[2].Pieces, before.Pieces) || h.Legs[2].AreaMM2 != 1 {
		t.Error("Resize has changed its input")
	}
	few := Resize(h, cat, Options{Cover: FewestPieces})
	for i, leg := range few.Legs {
		if len(leg.Pieces) > len(h.Legs[i].Pieces) {
			t.Errorf("%s: %v has more pieces than %v", leg.ID, leg.Pieces, h.Legs[i].Pieces)
		}
	}
}

// The same fit gives the same harness, and Plan changes nothing of the drill.
func TestSameEachTime(t *testing.T) {
	d := drill.Cases()[9].Drill
	points, links := slices.Clone(d.Frame.Points), slices.Clone(d.Frame.Links)
	first := ""
	for range 5 {
		h, rs, err := Plan(oneNodeAHead(d), parts.BuiltIn(), ahead(d), Options{StubMaxM: 1})
		if err != nil {
			t.Fatal(err)
		}
		if s := fmt.Sprint(h, rs); first == "" {
			first = s
		} else if s != first {
			t.Fatalf("got %s\nthen %s", first, s)
		}
	}
	if !slices.Equal(points, d.Frame.Points) || !slices.Equal(links, d.Frame.Links) {
		t.Error("the told frame was changed")
	}
}

func TestStaging(t *testing.T) {
	d := drill.Cases()[9].Drill
	h, _, err := Plan(oneNodeAHead(d), parts.BuiltIn(), ahead(d), Options{StubMaxM: 1})
	if err != nil {
		t.Fatal(err)
	}
	if got := []int{h.Ways("supply"), h.Ways("J1"), h.TeesAt("J1"), h.Ways(h.Bus[0])}; !slices.Equal(got, []int{1, 4, 2, 2}) {
		t.Errorf("ways at supply and J1, tees there, ways at the left end: %v", got)
	}
	steps := Staging(h)
	var ends []string
	for i, s := range steps {
		if s.Leg != h.Legs[i].ID || s.CoilM < 0 {
			t.Errorf("step %d: %+v", i, s)
		}
		ends = append(ends, s.Terminate...)
	}
	if want := []string{h.Bus[0], h.Bus[len(h.Bus)-1]}; !slices.Equal(ends, want) {
		t.Errorf("terminators at %v, want %v", ends, want)
	}
	if s := steps[3]; s.FromLabel != "L4 · N3 end, goes to N2" || s.ToLabel != "L4 · N2 end, goes to N3" || s.Kind != "bus" || len(s.Hinges) != 1 || s.CoilAt != "N2" {
		t.Errorf("%+v", s)
	}
	if len(Staging(fit.Harness{})) > 0 {
		t.Error("nothing planned, but something to lay")
	}
}

// benchFit is a fit of n nodes on a frame of two bars that are joined at 11
// places, so that it has rings.
func benchFit(n int) *fit.Fit {
	var f drill.Frame
	for b := range 2 {
		for c := range 11 {
			f.Points = append(f.Points, drill.FramePoint{ID: fmt.Sprintf("%d-%d", b, c), At: drill.Point{Forward: -1.5 * float64(b), Right: -9 + 1.8*float64(c), Up: 1}})
			if c > 0 {
				f.Links = append(f.Links, drill.FrameLink{From: fmt.Sprintf("%d-%d", b, c-1), To: fmt.Sprintf("%d-%d", b, c)})
			}
			if b > 0 {
				f.Links = append(f.Links, drill.FrameLink{From: fmt.Sprintf("0-%d", c), To: fmt.Sprintf("1-%d", c)})
			}
		}
	}
	var heads []drill.Point
	for i := range n {
		heads = append(heads, drill.Point{Forward: -0.1 - 1.3*float64(i%2), Right: -9 + 18*float64(i)/float64(n), Up: 1.5})
	}
	return oneNodeAHead(framed(f, heads))
}

func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{16, 60} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			f, cat := benchFit(n), parts.BuiltIn()
			for b.Loop() {
				if _, _, err := Plan(f, cat, drill.Point{Forward: 1, Up: 1.4}, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
