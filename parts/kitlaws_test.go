package parts

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Spares by hand from the table of the policy, and a part's own rule before it.
func TestSpares(t *testing.T) {
	for _, c := range []struct {
		part  Part
		count int
		want  int
	}{
		{Part{Kind: Sensor}, 0, 0},
		{Part{Kind: Sensor}, 1, 1},
		{Part{Kind: Sensor}, 20, 1},
		{Part{Kind: Sensor}, 21, 2},
		{Part{Kind: Cap}, 11, 2},
		{Part{Kind: Fuse}, 1, 2}, // one for each and one more
		{Part{Kind: Node}, 9, 0},
		{Part{Kind: Node, SparePer: 5}, 9, 2},
		{Part{Kind: Sensor, SparePer: 100}, 21, 1},
	} {
		if got := spares(c.part, c.count); got != c.want {
			t.Errorf("%d of %s, spare_per %d: %d spare, want %d", c.count, c.part.Kind, c.part.SparePer, got, c.want)
		}
	}
}

// By hand: 5 runs of 28 mm hose and a catalogue with 25 mm sensors and adapters
// 28 to 25: 5 sensors, 10 adapters, 10 clamps at the sensors, 10 at the hose.
func TestAdapted(t *testing.T) {
	cat, err := with(t, "parts: [{id: adapter-28-25, kind: adapter, hose_mm: 28, to_mm: 25}, {id: clamp-28, kind: clamp, hose_mm: 28}]")
	if err != nil {
		t.Fatal(err)
	}
	kit := cat.Kit(Need{Hoses: []HoseNeed{{MM: 28, Sensors: 5}}})
	got := map[string]int{}
	for _, l := range kit.Lines {
		got[l.Part] = l.Count
	}
	for part, want := range map[string]int{"sensor-25": 5, "adapter-28-25": 10, "clamp-25": 10, "clamp-28": 10} {
		if got[part] != want {
			t.Errorf("%d of %s, want %d", got[part], part, want)
		}
	}
}

// By hand: two legs of two pieces and of one, one junction, one open connector:
// labels 2 x 2 legs, 2 at the switch lead, 1 node and 1 junction; fixings for the
// node, gateway, antenna and switch; plugs 1 and 1 for the antenna lead, ties one
// for each half metre begun: 3.2 m and 0.9 m are 7 + 2, one bag.
func TestHarnessKit(t *testing.T) {
	kit := BuiltIn().Kit(Need{
		Nodes: []Some{{"node-12", 1}}, Harness: true, Tees: 1, Junctions: 1, Switch: true, Plugs: 1, Fuse: "fuse-5",
		Legs: []LegNeed{{ID: "L1", NeedM: 3.2, AreaMM2: 1, Pieces: []string{"leg-1.0-3", "leg-1.0-0.5"}}, {ID: "L2", NeedM: 0.9, AreaMM2: 1, Pieces: []string{"leg-1.0-1"}}},
	})
	for kind, want := range map[Kind]int{Leg: 3, Tee: 1, Plug: 2, Fuse: 1, Label: 8, Tie: 1, SupplyEnd: 1, Fixing: 4, Terminator: 2, Gateway: 1, Antenna: 1, Switch: 1, Mount: 1, Charger: 1, Node: 1} {
		if got := kit.Count(kind); got != want {
			t.Errorf("%d of kind %s, want %d", got, kind, want)
		}
	}
	if notes := strings.Join(kit.Notes, "\n"); strings.Contains(notes, "no harness") {
		t.Error(notes)
	}
}

// Sums: weight and cost of two kits are those of the kits apart where no line
// is shared, and a line never has fewer pieces than it fits.
func TestSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat := BuiltIn()
		for i := range cat.Parts {
			cat.Parts[i].Price = float64(rapid.IntRange(1, 5000).Draw(t, "price")) / 100
		}
		n := Need{Nodes: []Some{{"node-12", rapid.IntRange(1, 60).Draw(t, "nodes")}}, FreePorts: rapid.IntRange(0, 90).Draw(t, "free")}
		kit := cat.Kit(n)
		cost, kg := 0.0, 0.0
		for _, l := range kit.Lines {
			p, _ := cat.Part(l.Part)
			if l.Pieces() < l.Count || l.Count < 0 {
				t.Fatalf("%+v", l)
			}
			cost += p.Price * float64(l.Count+l.Spare)
			kg += p.WeightKg * float64(l.Count+l.Spare)
		}
		if sum, none := kit.Cost(); none != 0 || sum-cost > 1e-6 || cost-sum > 1e-6 {
			t.Fatalf("cost %g, want %g; %d lines without a price", sum, cost, none)
		}
		if sum, _ := kit.WeightKg(); sum-kg > 1e-6 || kg-sum > 1e-6 {
			t.Fatalf("weight %g, want %g", sum, kg)
		}
	})
}

func BenchmarkRunsFrom(b *testing.B) {
	need := Need{Hoses: []HoseNeed{{MM: 25, Sensors: 200}, {MM: 32, Sensors: 200}}}
	for i := range 400 {
		need.TubesM = append(need.TubesM, 0.4+float64(i%7)/3)
	}
	shelf := Shelf{{Part: "sensor-25", Pieces: 300}, {Part: "adapter-32-25", Pieces: 100}, {Part: "clamp-25", Pieces: 900}, {Part: "tube-25", Pieces: 20}}
	for b.Loop() {
		need.RunsFrom(shelf, BuiltIn())
	}
}
