package views

import (
	"math"
	"strings"
	"testing"

	"runproof/drawing"
	"runproof/drill"
)

// A sensor sits on the straight hose, as far from the head as asked; the hose
// of this one is 3-4-0 with the head at the height of the inlet, so half of
// its 5 m lies at half of either leg.
func TestSensorSitsOnItsHose(t *testing.T) {
	d := drill.Cases()[0].Drill
	d.Sensing.SensorFromHeadM = 2.5
	p := &plan{d: d}
	h := drill.Head{At: drill.Point{Forward: 3, Right: 4, Up: drill.InletUpM}}
	if at := p.sensorAt(h, 1); math.Abs(at.Forward-1.5) > 1e-12 || math.Abs(at.Right-2) > 1e-12 {
		t.Errorf("%+v", at)
	}
	d.Sensing.SensorFromHeadM = 9 // beyond the opener
	if at := p.sensorAt(h, 1); at.Forward != 0 || at.Right != 0 {
		t.Errorf("past the opener: %+v", at)
	}
}

// A layer that is not asked for is not drawn, nor named in the legend.
func TestLayers(t *testing.T) {
	f := fixture(drill.Cases()[6].Drill)
	with := strings.Join(Top(f, Options{}).Texts(), "\n")
	without := strings.Join(Top(f, Options{Show: Hoses}).Texts(), "\n")
	for _, word := range []string{"tube and its sensor", "section S1"} {
		if !strings.Contains(with, word) || strings.Contains(without, word) {
			t.Errorf("%q: usual %v, hoses alone %v", word, strings.Contains(with, word), strings.Contains(without, word))
		}
	}
}

// On the widest drill a leg or a node is named on the drawing or in the list
// below it.
func TestEveryLegAndNodeIsNamedSomewhere(t *testing.T) {
	for name, f := range outfits(t) {
		if len(f.Harness.Legs) == 0 {
			continue
		}
		said := " " + strings.Join(Harness(f, Options{}).Texts(), " ") + " "
		said = strings.ReplaceAll(said, ";", " ")
		for _, n := range f.Nodes {
			if !strings.Contains(said, " "+n.Serial+" ") {
				t.Errorf("%s: node %s is named nowhere", name, n.Serial)
			}
		}
		for _, l := range f.Harness.Legs {
			if !strings.Contains(said, " "+l.ID+" ") {
				t.Errorf("%s: leg %s is named nowhere", name, l.ID)
			}
		}
	}
}

// Cart and tractor are on the harness drawing, wherever the cart rides.
func TestHarnessShowsTheOutfit(t *testing.T) {
	for name, f := range outfits(t) {
		if len(f.Harness.Legs) == 0 {
			continue
		}
		s := Harness(f, Options{})
		said := strings.Join(s.Texts(), "\n")
		if !strings.Contains(said, "air cart") || !strings.Contains(said, "power point") {
			t.Errorf("%s: %s", name, said)
		}
	}
}

// The arrow into "working" turns from its threshold toward the angle at work.
func TestLinkageSaysWhichWayIsWorking(t *testing.T) {
	d := *drill.Cases()[0].Drill
	d.Lift = drill.Lift{Kind: drill.LiftParallel, ArmM: 0.8, PivotUpM: 0.7, PinWorkUpM: 0.5, PinRaisedUpM: 0.85}
	f := planned(t, &d)
	if f.WorkSwitch.LowerAt == nil || f.WorkSwitch.WorkDeg == nil {
		t.Fatal("the linkage is described, but no angles are planned")
	}
	said := strings.Join(Side(f, Options{}).Texts(), "\n")
	for _, want := range []string{"working", "lifted", "in the ground", "people stay"} {
		if !strings.Contains(said, want) {
			t.Errorf("no %q in %s", want, said)
		}
	}
}

// A stretch that is cut keeps order and is drawn as long as it says.
func TestCutGround(t *testing.T) {
	g := ground{view: drawing.View{MMPerM: 10}, cuts: []cut{{2, 8}}, keepM: 0.5}
	for _, c := range []struct{ forward, want float64 }{{-1, -1}, {2, 2}, {5, 2.25}, {8, 2.5}, {10, 4.5}} {
		if got := g.folded(c.forward); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v m is drawn at %v, want %v", c.forward, got, c.want)
		}
	}
	if way := g.path([]drill.Point{{Forward: 0}, {Forward: 10}}); len(way) != 4 {
		t.Errorf("a way through a cut bends at both of its edges: %v", way)
	}
}

// Two ways that share a stretch lie beside each other there, gap apart, and
// each keeps its own way elsewhere.
func TestSharedStretchesLieSideBySide(t *testing.T) {
	at := func(x, y float64) drawing.Point { return drawing.Point{X: x, Y: y} }
	ways := sideBySide([][]drawing.Point{{at(0, 0), at(30, 0)}, {at(10, 0), at(20, 0), at(20, 10)}}, 1)
	if first, last := ways[0][0], ways[0][len(ways[0])-1]; first != at(0, 0) || last != at(30, 0) {
		t.Errorf("ends moved: %v", ways[0])
	}
	if end := ways[1][len(ways[1])-1]; end != at(20, 10) {
		t.Errorf("end moved: %v", ways[1])
	}
	y := func(way []drawing.Point) float64 {
		for i := 1; i < len(way); i++ {
			if a, b := way[i-1], way[i]; math.Min(a.X, b.X) <= 15 && math.Max(a.X, b.X) >= 15 {
				return a.Y
			}
		}
		return math.NaN()
	}
	if gap := math.Abs(y(ways[0]) - y(ways[1])); math.Abs(gap-1) > 1e-9 {
		t.Errorf("gap %v mm: %v, %v", gap, ways[0], ways[1])
	}
}
