package practice_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/allocate"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
	"runproof/practice"
)

func planned(t testing.TB, d *drill.Drill) *fit.Fit {
	t.Helper()
	o, err := plan.Make(d, parts.BuiltIn(), plan.Options{Effort: allocate.Effort}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return o.Fit
}

// twins is a drill whose heads of seed and fertiliser stand 0.2 m apart, so that
// a node of one reaches the other; nodes of 16 ports leave 4 free.
func twins(t testing.TB) *fit.Fit {
	t.Helper()
	i := slices.IndexFunc(drill.Cases(), func(c drill.Case) bool { return c.Name == "two products on the same rows" })
	d := drill.Cases()[i].Drill
	d.Sensing.Node, d.Sensing.SparePorts = "node-16", 4
	return planned(t, d)
}

// eyes are the rules that only a person can judge, at the machine.
var eyes = []string{"connectors that face up", "sensors whose inlet does not face the flow", "clamps on a moulded ridge"}

// Every plan keeps every rule that can be judged from it.
func TestEveryPlanKeepsThem(t *testing.T) {
	for _, c := range drill.Cases() {
		rs := practice.Judge(planned(t, c.Drill))
		if len(rs) != 11 {
			t.Errorf("%s: %d rules were asked, not 11", c.Name, len(rs))
		}
		for _, r := range rs {
			want := check.Kept
			if slices.Contains(eyes, r.Rule) {
				want = check.Unknown
			}
			if r.Verdict() != want {
				t.Errorf("%s: %s, want %s: %s", c.Name, r.Verdict(), want, r)
			}
			if r.Rule == "" || r.Source == "" || r.Advice == "" || strings.Contains(r.Advice, "\n") {
				t.Errorf("%s: %+v lacks rule, source or a line of advice", c.Name, r)
			}
		}
	}
}

// Whatever the serials are and in whatever order they are given, a plan deals
// them so that they ascend.
func TestSerialsAsGiven(t *testing.T) {
	i := slices.IndexFunc(drill.Cases(), func(c drill.Case) bool { return c.Name == "two ranks of heads, folding frame" })
	d := drill.Cases()[i].Drill
	rapid.Check(t, func(rt *rapid.T) {
		serials := rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Z]{0,1}[0-9]{1,5}(-[0-9]{1,2})?`), 6, 9, rapid.ID).Draw(rt, "serials")
		f, _, err := allocate.FitWithin(0, d, parts.BuiltIn(), serials, fit.Provenance{})
		if err != nil {
			rt.Fatal(err)
		}
		if r := practice.Judge(f)[0]; r.Verdict() != check.Kept || !strings.HasPrefix(r.Rule, "serials ascend") {
			rt.Fatal(r)
		}
	})
}

// rename gives a node another serial, wherever the fit names it.
func rename(f *fit.Fit, from, to string) {
	for i := range f.Nodes {
		if f.Nodes[i].Serial == from {
			f.Nodes[i].Serial = to
		}
	}
	for i := range f.Map {
		if f.Map[i].Node == from {
			f.Map[i].Node = to
		}
	}
	for i := range f.Harness.Places {
		if f.Harness.Places[i].ID == from {
			f.Harness.Places[i].ID = to
		}
	}
	for i := range f.Harness.Bus {
		if f.Harness.Bus[i] == from {
			f.Harness.Bus[i] = to
		}
	}
	for i := range f.Harness.Legs {
		for _, end := range []*string{&f.Harness.Legs[i].From, &f.Harness.Legs[i].To} {
			if *end == from {
				*end = to
			}
		}
	}
}

// hang puts the run of a link at another port, as WithMap does.
func hang(f *fit.Fit, link int, node string, port int) {
	l := &f.Map[link]
	l.Node, l.Port = node, port
	l.TubeM, _ = f.TubeM(l.Run, node)
}

// less takes pieces of a kind off the parts list.
func less(f *fit.Fit, k parts.Kind, pieces int) {
	for i := range f.Kit.Lines {
		if f.Kit.Lines[i].Kind == k {
			f.Kit.Lines[i].Count -= pieces
		}
	}
}

// later makes a fit a revision after the first, as WithMap does.
func later(f *fit.Fit) { f.Revision, f.Made.Parent = 2, "00ff" }

// Each rule is broken by what breaks it, and no other rule with it.
func TestBrokenByWhatBreaksIt(t *testing.T) {
	for _, c := range []struct {
		name string
		rule string
		edit func(*fit.Fit)
		want check.Verdict
	}{
		{"two boxes changed places", "serials ascend", func(f *fit.Fit) { rename(f, "N1", "x"); rename(f, "N8", "N1"); rename(f, "x", "N8") }, check.Broken},
		{"a box was replaced, and nobody said so", "serials ascend", func(f *fit.Fit) { rename(f, "N3", "N40") }, check.Broken},
		{"a box was replaced in a later revision", "serials ascend", func(f *fit.Fit) { later(f); rename(f, "N3", "N40") }, check.Tight},
		{"the last box was replaced by a later one", "", func(f *fit.Fit) { rename(f, "N8", "N40") }, check.Kept},
		{"a serial that sorts by number", "", func(f *fit.Fit) { rename(f, "N8", "N100") }, check.Kept},

		{"five ports shall stay free", "ports kept free", func(f *fit.Fit) { f.Drill.Sensing.SparePorts = 5 }, check.Broken},
		{"three would do", "", func(f *fit.Fit) { f.Drill.Sensing.SparePorts = 3 }, check.Kept},
		{"a run hangs at the node of the other head", "ports kept free", func(f *fit.Fit) { hang(f, 0, "N2", 16) }, check.Broken},
		{"a run was moved there", "ports kept free", func(f *fit.Fit) { later(f); hang(f, 0, "N2", 16) }, check.Tight},
		{"a run was moved to a spare port of its own node", "", func(f *fit.Fit) { later(f); f.Map[0].Port = 16 }, check.Kept},

		{"two runs at each other's far node", "tube reaches", func(f *fit.Fit) {
			near, far := f.Map[0], f.Map[len(f.Map)-1]
			hang(f, 0, far.Node, far.Port)
			hang(f, len(f.Map)-1, near.Node, near.Port)
		}, check.Broken},
		{"a node of shorter tubes", "tube reaches", func(f *fit.Fit) { nodePart(f).TubeMaxM = 0.39 }, check.Broken},
		{"a node of just that reach", "", func(f *fit.Fit) { nodePart(f).TubeMaxM = 0.4 }, check.Kept},
		{"a node whose reach nobody knows", "tube reaches", func(f *fit.Fit) { nodePart(f).TubeMaxM = 0 }, check.Unknown},

		{"a sensor 15 cm farther out", "sensors alike", func(f *fit.Fit) { f.Map[3].TubeM += 0.15 }, check.Broken},
		{"a sensor 5 cm farther out", "", func(f *fit.Fit) { f.Map[3].TubeM += 0.05 }, check.Kept},
		{"a hose that is too short, by estimate", "sensors alike", func(f *fit.Fit) { f.Air.Heads[0].Division.Hoses[2].LengthM = 0.2 }, check.Unknown},
		{"a hose that is too short, as measured", "sensors alike", func(f *fit.Fit) {
			f.Air.Heads[0].Division.Hoses[2].LengthM, f.Air.Heads[0].Division.Estimated = 0.2, false
		}, check.Broken},

		{"a cap is lacking", "caps for ports", func(f *fit.Fit) { less(f, parts.Cap, 1) }, check.Broken},
		{"a cap is lacking in a later revision", "caps for ports", func(f *fit.Fit) { later(f); less(f, parts.Cap, 1) }, check.Tight},
		{"a run is taken off its port", "caps for ports", func(f *fit.Fit) { f.Map = f.Map[1:] }, check.Broken},
		{"the antenna lead has no plug", "plugs for connectors", func(f *fit.Fit) { less(f, parts.Plug, 1) }, check.Broken},
		{"a leg is left out", "plugs for connectors", func(f *fit.Fit) { f.Harness.Legs = f.Harness.Legs[:len(f.Harness.Legs)-1] }, check.Broken},

		{"the cart is behind after all", "gateway and antenna where", func(f *fit.Fit) { f.Drill.Cart.Position = drill.CartBehind }, check.Broken},
		{"the antenna 0.6 m further up", "gateway and antenna where", func(f *fit.Fit) { f.Radio.Options[0].Antenna.Up += 0.6 }, check.Broken},
		{"the antenna 0.4 m further up", "", func(f *fit.Fit) { f.Radio.Options[0].Antenna.Up += 0.4 }, check.Kept},

		{"gateway and antenna exchanged", "antenna over its gateway|gateway and antenna where", func(f *fit.Fit) {
			o := &f.Radio.Options[0]
			o.Gateway, o.Antenna = o.Antenna, o.Gateway
		}, check.Broken},
		{"the gateway 0.3 m further up", "", func(f *fit.Fit) { f.Radio.Options[0].Gateway.Up += 0.3 }, check.Kept},
		{"the gateway as high as the antenna", "antenna over its gateway|gateway and antenna where", func(f *fit.Fit) {
			f.Radio.Options[0].Gateway.Up = f.Radio.Options[0].Antenna.Up + 0.01
		}, check.Broken},

		{"a revision from nowhere", "revision that does not name", func(f *fit.Fit) { f.Revision = 2 }, check.Broken},
		{"a revision with its parent", "", later, check.Kept},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := twins(t)
			c.edit(f)
			found := c.rule == ""
			for _, r := range practice.Judge(f) {
				want := check.Kept
				switch {
				case slices.Contains(eyes, r.Rule):
					want = check.Unknown
				case c.rule != "" && slices.ContainsFunc(strings.Split(c.rule, "|"), func(rule string) bool { return strings.HasPrefix(r.Rule, rule) }):
					want, found = c.want, true
				}
				if r.Verdict() != want {
					t.Errorf("%s, want %s: %s", r.Verdict(), want, r)
				}
			}
			if !found {
				t.Errorf("no rule %q was asked", c.rule)
			}
		})
	}
}

func nodePart(f *fit.Fit) *parts.Part {
	return &f.Parts[slices.IndexFunc(f.Parts, func(p parts.Part) bool { return p.Kind == parts.Node })]
}

// What a catalogue has no part for is missed, not passed over.
func TestCatalogueWithoutCapsAndPlugs(t *testing.T) {
	var cat parts.Catalogue
	for _, p := range parts.BuiltIn().Parts {
		if p.Kind != parts.Cap && p.Kind != parts.Plug {
			cat.Parts = append(cat.Parts, p)
		}
	}
	d := twins(t).Drill
	o, err := plan.Make(&d, cat, plan.Options{}, fit.Provenance{})
	if err != nil {
		t.Fatal(err)
	}
	var broken []string
	for _, r := range o.Fit.Checks.With(check.Broken) {
		broken = append(broken, r.Rule)
	}
	if got := strings.Join(broken, "; "); got != "caps for ports that listen to no run; plugs for connectors that nothing is plugged into" {
		t.Error(got)
	}
}

// A fit of an earlier day, without harness, kit and parts, is not held to what
// it does not say.
func TestFitThatSaysLittle(t *testing.T) {
	f := twins(t)
	f.Harness, f.Radio, f.Air, f.Kit, f.Parts = fit.Harness{}, fit.Radio{}, fit.Air{}, parts.Kit{}, nil
	if rs := practice.Judge(f); rs.Count(check.Broken) > 0 || rs.Count(check.Unknown) != 3+len(eyes) {
		t.Errorf("tube, caps and plugs are not known, and nothing is broken: %v", rs)
	}
	if rs := practice.Judge(&fit.Fit{}); rs != nil {
		t.Errorf("a fit that senses nothing: %v", rs)
	}
}

// Rules of other rooms stay as they are, in their order; those of this room come
// once.
func TestRenewed(t *testing.T) {
	f := twins(t)
	before := f.Checks
	again := practice.Renewed(f)
	if len(again) != len(before) {
		t.Fatalf("%d results, then %d", len(before), len(again))
	}
	for i, r := range again {
		if r.String() != before[i].String() {
			t.Errorf("%s became %s", before[i], r)
		}
	}
	next, err := f.Move(f.Map[0].Run, fit.PortRef{Node: "N8", Port: 16}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	twice := practice.Renewed(next)
	next.Checks = twice
	if again := practice.Renewed(next); again.Count(check.Broken) != 1 || len(again) != len(twice) || len(again) != len(before)+1 {
		t.Errorf("%d broken, %d results, before %d", again.Count(check.Broken), len(again), len(before))
	}
}
