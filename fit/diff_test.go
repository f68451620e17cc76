package fit

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/drill"
)

func wordsOf(changes []Change) []string {
	var w []string
	for _, c := range changes {
		w = append(w, c.Words)
	}
	return w
}

func TestDiffWords(t *testing.T) {
	for _, c := range []struct {
		name string
		edit func(f *Fit)
		want []string
	}{
		{"nothing", func(*Fit) {}, nil},
		{"revision and provenance", func(f *Fit) { f.Revision, f.Made.By = 7, "someone" }, nil},
		{"row spacing", func(f *Fit) { f.Drill.Rows.SpacingM = 0.3 }, []string{"row spacing 0.25 to 0.30 m"}},
		{"one port", func(f *Fit) { f.Nodes[2].Ports = 16; f.Map[30].Port = 15 }, []string{"node 4103 ports 12 to 16", "C-7 moved from 4103 port 7 to port 15"}},
		{"another node", func(f *Fit) { f.Nodes[0].Ports = 16; f.Map[30].Node, f.Map[30].Port = "4101", 13 }, []string{"node 4101 ports 12 to 16", "C-7 moved from 4103 port 7 to 4101 port 13"}},
		{"swap", func(f *Fit) { f.Map[30].Port, f.Map[31].Port = 8, 7 }, []string{"C-7 and C-8 changed places: C-7 is at 4103 port 8 now, C-8 at port 7"}},
		{"swap between nodes", func(f *Fit) { f.Map[0].Run, f.Map[35].Run = "C-12", "A-1" }, []string{"A-1 and C-12 changed places: A-1 is at 4103 port 12 now, C-12 at 4101 port 1"}},
		{"three in a ring", func(f *Fit) { f.Map[0].Port, f.Map[1].Port, f.Map[2].Port = 2, 3, 1 }, []string{"A-1 moved from 4101 port 1 to port 2", "A-2 moved from 4101 port 2 to port 3", "A-3 moved from 4101 port 3 to port 1"}},
		{"node replaced", func(f *Fit) { rename(f, "4102", "4188") }, []string{"node 4102 replaced by 4188"}},
		{"node replaced and one run moved", func(f *Fit) {
			rename(f, "4102", "4188")
			f.Nodes[1].Ports = 16
			f.Map[12].Port = 13
		}, []string{"node 4102 replaced by 4188", "node 4188 ports 12 to 16", "B-1 moved from 4102 port 1 to 4188 port 13"}},
		{"two nodes exchanged", func(f *Fit) { rename(f, "4101", "x"); rename(f, "4102", "4101"); rename(f, "x", "4102") }, []string{
			"node 4101 moved from head A to head B", "node 4102 moved from head B to head A",
			"A-1 to A-12 moved from 4101 ports 1 to 12 to 4102 ports 1 to 12", "B-1 to B-12 moved from 4102 ports 1 to 12 to 4101 ports 1 to 12",
		}},
		{"one run out", func(f *Fit) { f.Map = slices.Delete(f.Map, 31, 32) }, []string{"C-8 is no longer sensed"}},
		{"a node out", func(f *Fit) { f.Nodes = f.Nodes[:2]; f.Map = f.Map[:24] }, []string{"node 4103 at head C is gone", "C-1 to C-12 are no longer sensed"}},
		{"a head less", func(f *Fit) {
			f.Nodes, f.Map, f.Drill.Heads = f.Nodes[:2], f.Map[:24], f.Drill.Heads[:2]
		}, []string{"head C is gone (seed to rows 25-36)", "node 4103 at head C is gone", "C-1 to C-12 are no longer sensed"}},
		{"part", func(f *Fit) { f.Parts[0].TubeMaxM = 3.5 }, []string{"part node-12 longest tube 3.0 to 3.5 m"}},
		{"drill", func(f *Fit) {
			d := &f.Drill
			d.Closed = []drill.RunID{"A-5"}
			d.Heads[0].At.Forward = -0.75
			d.Sections[0].Heads = append(d.Sections[0].Heads, "C")
			d.Cart.Position = drill.CartBehind
			d.Sensing.SparePorts = 1
			d.Name = ""
		}, []string{`name "Three heads" to none`, "head A forward -0.40 to -0.75 m", "section S1 heads A to heads A, C", "A-3 is open again", "A-5 is closed on purpose now", "cart between to behind", "ports left free on each node 0 to 1"}},
		{"order", func(f *Fit) { slices.Reverse(f.Drill.Sections) }, []string{"the same things stand in another order in the drill's description"}},
	} {
		a := plain(threeHeads(t))
		b := clone(t, a)
		c.edit(b)
		if got := wordsOf(Diff(a, b)); !slices.Equal(got, c.want) {
			t.Errorf("%s:\n got %q\nwant %q", c.name, got, c.want)
		}
	}
}

func rename(f *Fit, from, to string) {
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
}

// Adding back what is gone is said too.
func TestDiffBackwards(t *testing.T) {
	a := plain(threeHeads(t))
	b := clone(t, a)
	b.Nodes, b.Map = b.Nodes[:2], b.Map[:24]
	want := []string{"node 4103 at head C is new", "C-1 to C-12 are now sensed, at 4103 ports 1 to 12"}
	if got := wordsOf(Diff(b, a)); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// No value of the drill, the nodes or the map can change without a word: each
// leaf of the document is altered in turn.
func TestDiffMissesNothing(t *testing.T) {
	a := plain(threeHeads(t))
	var doc map[string]any
	if err := json.Unmarshal(written(t, a), &doc); err != nil {
		t.Fatal(err)
	}
	// What follows from the rest, or says how the document came about.
	for _, key := range []string{"runproof", "revision", "made", "allocation", "kit"} {
		delete(doc, key)
	}
	n := 0
	eachLeaf(doc, "", func(path string, set func(any), old any) {
		if strings.HasSuffix(path, "tube_m") || strings.HasSuffix(path, ".runproof") || strings.HasPrefix(path, ".parts") && !strings.HasSuffix(path, "_m") && !strings.HasSuffix(path, "ports") {
			return
		}
		set(altered(old))
		defer set(old)
		text, _ := json.Marshal(doc)
		var b Fit
		if err := json.Unmarshal(text, &b); err != nil {
			return // a word that its type does not know
		}
		n++
		if len(Diff(a, &b)) == 0 {
			t.Errorf("%s: %v changed to %v without a word", path, old, altered(old))
		}
	})
	if n < 150 {
		t.Errorf("only %d leaves were altered", n)
	}
}

func altered(v any) any {
	switch v := v.(type) {
	case float64:
		return v + 1
	case string:
		return v + "x"
	}
	return v
}

func eachLeaf(v any, path string, visit func(path string, set func(any), old any)) {
	switch v := v.(type) {
	case map[string]any:
		for k, e := range v {
			leaf(e, path+"."+k, func(n any) { v[k] = n }, visit)
		}
	case []any:
		for i, e := range v {
			leaf(e, fmt.Sprintf("%s.%d", path, i), func(n any) { v[i] = n }, visit)
		}
	}
}

func leaf(e any, path string, set func(any), visit func(string, func(any), any)) {
	switch e.(type) {
	case map[string]any, []any:
		eachLeaf(e, path, visit)
	default:
		visit(path, set, e)
	}
}

// A fit does not differ from itself, and whatever permutation of ports a fit
// suffers, the changes name each run that moved exactly once and no other.
func TestDiffOfPermutedPorts(t *testing.T) {
	a := plain(threeHeads(t))
	rapid.Check(t, func(t *rapid.T) {
		b := *a
		b.Map = slices.Clone(a.Map)
		refs := rapid.Permutation(a.Map).Draw(t, "ports")
		moved := make(map[drill.RunID]bool)
		for i := range b.Map {
			b.Map[i].Node, b.Map[i].Port = refs[i].Node, refs[i].Port
			if refs[i].Ref() != a.Map[i].Ref() {
				moved[b.Map[i].Run] = true
			}
		}
		said := make(map[drill.RunID]bool)
		for _, c := range Diff(a, &b) {
			if c.Kind != RunChanged {
				t.Fatalf("said %q", c.Words)
			}
			for _, r := range c.Runs {
				if said[r] || !moved[r] {
					t.Fatalf("run %s: said twice, or did not move", r)
				}
				said[r] = true
			}
		}
		if len(said) != len(moved) {
			t.Fatalf("%d runs moved, %d were said", len(moved), len(said))
		}
	})
}

func TestDiffSurvivesAllDrills(t *testing.T) {
	cases := drill.Cases()
	for _, c := range cases {
		a := plain(c.Drill)
		if d := Diff(a, clone(t, a)); len(d) > 0 {
			t.Errorf("%s differs from itself: %q", c.Name, wordsOf(d))
		}
		for _, other := range cases {
			if d := Diff(a, plain(other.Drill)); (len(d) == 0) != (c.Name == other.Name) {
				t.Errorf("%s against %s: %d changes", c.Name, other.Name, len(d))
			}
		}
	}
}

func TestChangeKindWords(t *testing.T) {
	for k := DrillChanged; k <= RunChanged; k++ {
		b, _ := k.MarshalText()
		var back ChangeKind
		if err := back.UnmarshalText(b); err != nil || back != k {
			t.Errorf("%s reads back as %s, %v", k, back, err)
		}
	}
}
