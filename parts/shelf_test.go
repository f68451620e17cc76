package parts

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/input"
)

// sized is a catalogue of legs.
func sized(lengths ...float64) Catalogue {
	var c Catalogue
	for _, area := range []float64{1, 2.5} {
		for _, l := range lengths {
			c.Parts = append(c.Parts, Part{ID: fmt.Sprintf("leg-%g-%g", area, l), Kind: Leg, LengthM: l, AreaMM2: area})
		}
	}
	return c
}

// brute is the least score of all ways to make the legs, by trying them all.
func brute(p *coverProblem) score {
	best := score{order: math.MaxInt}
	left := slices.Clone(p.shelf)
	var try func(i int, s score)
	try = func(i int, s score) {
		if i == len(p.legs) {
			if s.compare(best) < 0 {
				best = s
			}
			return
		}
		for _, c := range p.legs[i].choices {
			x := p.of(c, left)
			take(c, left, 1)
			try(i+1, s.plus(x))
			take(c, left, -1)
		}
	}
	try(0, score{})
	return best
}

// On small shelves the answer is the best of all that there are.
func TestCoverAgainstAllWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat := sized(1, 2.5, 4)
		var legs []LegNeed
		for i := range rapid.IntRange(1, 3).Draw(t, "legs") {
			legs = append(legs, LegNeed{ID: fmt.Sprintf("L%d", i+1), NeedM: rapid.Float64Range(0.2, 8).Draw(t, "need"), AreaMM2: rapid.SampledFrom([]float64{1, 2.5}).Draw(t, "area")})
		}
		var shelf Shelf
		for _, p := range cat.Parts {
			shelf = append(shelf, Stocked{Part: p.ID, Pieces: rapid.IntRange(0, 3).Draw(t, p.ID)})
		}
		p := newCoverProblem(legs, shelf, cat)
		chosen, low, optimal := p.solve()
		got, want := p.total(chosen), brute(p)
		if !optimal || got != want || low > want.order {
			t.Fatalf("%+v, optimal %v, low %d; best of all ways %+v", got, optimal, low, want)
		}
		if bound := p.priced(want.order + rapid.IntRange(0, 3).Draw(t, "found worse by")); bound > want.order {
			t.Fatalf("the bound is %d, but %d pieces do", bound, want.order)
		}
	})
}

type shelfCase struct {
	Legs []struct {
		NeedM   float64 `json:"need_m"`
		AreaMM2 float64 `json:"area_mm2"`
	}
	Shelf     []int
	Order     *int
	SurplusMM *int `json:"surplus_mm"`
	Joints    *int
}

// testdata/shelf.json holds shelves and legs solved as integer programmes by
// HiGHS, one for each part of the score.
func TestCoverAgainstIntegerProgrammes(t *testing.T) {
	text, err := os.ReadFile("testdata/shelf.json")
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Parts []struct {
			ID      string
			LengthM float64 `json:"length_m"`
			AreaMM2 float64 `json:"area_mm2"`
		}
		Cases []shelfCase
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	var cat Catalogue
	for _, p := range doc.Parts {
		cat.Parts = append(cat.Parts, Part{ID: p.ID, Kind: Leg, LengthM: p.LengthM, AreaMM2: p.AreaMM2})
	}
	if len(doc.Cases) < 18 {
		t.Fatalf("%d cases", len(doc.Cases))
	}
	proved, least, tight := 0, 0, 0
	for k, c := range doc.Cases {
		var legs []LegNeed
		for i, l := range c.Legs {
			legs = append(legs, LegNeed{ID: fmt.Sprint(i), NeedM: l.NeedM, AreaMM2: l.AreaMM2})
		}
		var shelf Shelf
		for i, n := range c.Shelf {
			shelf = append(shelf, Stocked{Part: doc.Parts[i].ID, Pieces: n})
		}
		got := CoverFromShelf(legs, shelf, cat)
		switch bound := newCoverProblem(legs, shelf, cat).priced(got.Order); {
		case bound > *c.Order:
			t.Errorf("case %d: the bound is %d, but HiGHS orders %d", k, bound, *c.Order)
		case bound == *c.Order:
			tight++
		}
		if got.Optimal {
			proved++
		}
		if got.Order == *c.Order {
			least++
		}
		switch surplus := int(math.Round(1000 * got.SurplusM)); {
		case got.Order < *c.Order:
			t.Errorf("case %d orders %d, fewer than the integer programme's %d: pieces are missing", k, got.Order, *c.Order)
		case got.Optimal && (got.Order != *c.Order || c.SurplusMM != nil && surplus != *c.SurplusMM || c.Joints != nil && got.Joints != *c.Joints):
			t.Errorf("case %d claims the best with %d, %d mm, %d joints; HiGHS has %d, %v, %v", k, got.Order, surplus, got.Joints, *c.Order, *c.SurplusMM, *c.Joints)
		case got.Order > *c.Order+1:
			t.Errorf("case %d, %d legs: orders %d, HiGHS %d (%s)", k, len(legs), got.Order, *c.Order, got.Bound)
		}
	}
	t.Logf("%d of %d proved, %d order the fewest, %d bounds are exact", proved, len(doc.Cases), least, tight)
	// A gap of one piece between the integer programme and its relaxation is common; most have none.
	if 3*tight < 2*len(doc.Cases) {
		t.Errorf("the bound is exact in %d of %d cases", tight, len(doc.Cases))
	}
}

// What is in the cover is what it says: long enough, thick enough, no piece
// taken twice from the shelf.
func TestCoverIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat := BuiltIn()
		var shelf Shelf
		for _, p := range cat.Of(Leg) {
			shelf = append(shelf, Stocked{Part: p.ID, Pieces: rapid.IntRange(0, 5).Draw(t, p.ID)})
		}
		var legs []LegNeed
		for i := range rapid.IntRange(0, 9).Draw(t, "legs") {
			legs = append(legs, LegNeed{ID: fmt.Sprint(i), NeedM: rapid.Float64Range(0.1, 25).Draw(t, "need"), AreaMM2: rapid.SampledFrom([]float64{1, 2.5, 4}).Draw(t, "area")})
		}
		plan := CoverFromShelf(legs, shelf, cat)
		used, ordered := make(map[string]int), 0
		for i, c := range plan.Legs {
			sum := 0.0
			for _, id := range c.Pieces {
				p, _ := cat.Part(id)
				sum += p.LengthM
				used[id]++
				if p.AreaMM2 < legs[i].AreaMM2 {
					t.Fatalf("leg %s of %g mm2 has %s", c.ID, legs[i].AreaMM2, id)
				}
			}
			if sum < legs[i].NeedM-1e-6 || math.Abs(sum-c.LengthM) > 1e-9 {
				t.Fatalf("leg %s needs %g m and has %g", c.ID, legs[i].NeedM, sum)
			}
			ordered += len(c.Order)
		}
		want := 0
		for id, n := range used {
			want += max(0, n-shelf.Pieces(id))
		}
		if ordered != want || plan.Order != want {
			t.Fatalf("orders %d, says %d, the shelf lacks %d", ordered, plan.Order, want)
		}
	})
}

func TestStandIns(t *testing.T) {
	cat := BuiltIn()
	for _, c := range []struct {
		planned []string
		shelf   Shelf
		want    []string
	}{
		{[]string{"node-12", "node-12"}, Shelf{{Part: "node-12", Pieces: 2}}, []string{"node-12", "node-12"}},
		{[]string{"node-12", "node-12"}, Shelf{{Part: "node-12", Pieces: 1}, {Part: "node-24", Pieces: 1}, {Part: "node-16", Pieces: 1}}, []string{"node-12", "node-16"}},
		{[]string{"node-12", "node-12"}, Shelf{{Part: "node-8", Pieces: 9}}, []string{"node-12", "node-12"}},
		{nil, nil, nil},
	} {
		if got := StandIns(c.planned, c.shelf, cat); !slices.Equal(got, c.want) {
			t.Errorf("%v from %v: %v, want %v", c.planned, c.shelf, got, c.want)
		}
	}
}

func TestReadShelf(t *testing.T) {
	got, err := ReadShelf(strings.NewReader("\ufeffpart,count,price\nnode-12,3,240\nleg-1.0-5,7,\n"), "stock.csv", BuiltIn())
	if want := (Shelf{{"node-12", 3, 240}, {"leg-1.0-5", 7, 0}}); err != nil || !slices.Equal(got, want) {
		t.Errorf("%v, %v", got, err)
	}
	for text, want := range map[string]string{
		"":                                "stock.csv: is empty",
		"part;count\n":                    `stock.csv:1:1: "part;count" is no column of a list of stock; save the table with commas`,
		"part\nnode-12\n":                 "stock.csv:1:1: column count is missing",
		"part,count\nnode-13,2\n":         `stock.csv:2:1: part "node-13" is not in the catalogue; did you mean node-12?`,
		"part,count\nnode-12,two\n":       `stock.csv:2:9: count is "two"; write a whole number`,
		"part,count\nnode-12,-1\n":        `stock.csv:2:9: count is "-1"`,
		"part,count\ncap,1\ncap,2\n":      "stock.csv:3:1: part cap stands twice, first on line 2",
		"part,count\ncap,1,9\n":           "stock.csv:2:1: 3 values under 2 columns",
		"part,count,price\ncap,1,a lot\n": `stock.csv:2:7: price is "a lot"`,
	} {
		_, err := ReadShelf(strings.NewReader(text), "stock.csv", BuiltIn())
		var faults input.Faults
		if !errors.As(err, &faults) || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

func FuzzReadShelf(f *testing.F) {
	f.Add("part,count,price\nnode-12,3,240\n")
	f.Add("count,part\n1,\"cap\n")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ReadShelf(strings.NewReader(text), "s", BuiltIn())
		var faults input.Faults
		if err != nil && (!errors.As(err, &faults) || faults[0].Place.File != "s" || s != nil) {
			t.Fatalf("%v, shelf %v", err, s)
		}
		seen := map[string]bool{}
		for _, l := range s {
			if _, known := BuiltIn().Part(l.Part); !known || seen[l.Part] || l.Pieces < 0 || !(l.Price >= 0) {
				t.Fatalf("%+v from %q", l, text)
			}
			seen[l.Part] = true
		}
	})
}

// From splits each line and loses no piece.
func TestFrom(t *testing.T) {
	kit := BuiltIn().Kit(Need{Nodes: []Some{{"node-12", 3}}, FreePorts: 4, Hoses: []HoseNeed{{MM: 25, Sensors: 32}}, TubesM: make([]float64, 32)})
	shelf := Shelf{{Part: "node-12", Pieces: 1}, {Part: "cap", Pieces: 50}}
	got := kit.From(shelf, ShelfPlan{}, map[string]string{"node-12": "node-8"})
	order := 0
	for i, l := range got.Lines {
		if l.Shelf+l.Order != kit.Lines[i].Pieces() || l.Shelf > shelf.Pieces(l.Part) {
			t.Errorf("%s: %d from the shelf, %d to order of %d", l.Part, l.Shelf, l.Order, l.Pieces())
		}
		order += l.Order
	}
	if got.Shelf.Order != order || got.Lines[0].InsteadOf != "node-8" || kit.Lines[0].Shelf != 0 {
		t.Errorf("%+v", got.Shelf)
	}
}

func BenchmarkCoverFromShelf(b *testing.B) {
	for _, n := range []int{8, 60} {
		b.Run(fmt.Sprintf("%d legs", n), func(b *testing.B) {
			var legs []LegNeed
			for i := range n {
				legs = append(legs, LegNeed{ID: fmt.Sprint(i), NeedM: 0.5 + float64(i*37%90)/10, AreaMM2: 1})
			}
			var shelf Shelf
			for i, p := range BuiltIn().Of(Leg) {
				shelf = append(shelf, Stocked{Part: p.ID, Pieces: i % 5})
			}
			for b.Loop() {
				CoverFromShelf(legs, shelf, BuiltIn())
			}
		})
	}
}

// A shelf full of short legs does not make a leg of more joints than the house
// allows, where ordering some keeps to it; where nothing does, the leg is made.
func TestCoverFromShelfKeepsJoints(t *testing.T) {
	cat := Catalogue{Parts: []Part{
		{ID: "short", Kind: Leg, LengthM: 0.47, AreaMM2: 1}, {ID: "less-short", Kind: Leg, LengthM: 0.53, AreaMM2: 1},
	}}
	shelf := Shelf{{Part: "short", Pieces: 100}}
	// 8.4 m: 18 of 0.47 m, all on the shelf, or 16 of 0.53 m, or 17 with x of them: 17*0.47 + 0.06 x >= 8.4 from x = 7.
	p := CoverFromShelf([]LegNeed{{ID: "L1", NeedM: 8.4, AreaMM2: 1}}, shelf, cat)
	if l := p.Legs[0]; len(l.Pieces) != MostJoints+1 || p.Order != 7 || !p.Optimal {
		t.Errorf("%+v", p)
	}
	// 300 pieces and more are counted too.
	if l := CoverFromShelf([]LegNeed{{ID: "L1", NeedM: 159, AreaMM2: 1}}, shelf, cat).Legs[0]; len(l.Pieces) != 300 {
		t.Errorf("159 m of at most 0.53 m: %d pieces", len(l.Pieces))
	}
}
