package harness

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"runproof/parts"
)

type wiring struct {
	Items []struct {
		ID       string
		Inputs   json.RawMessage
		Expected json.RawMessage
	}
	Enumerated []struct {
		StockMM      []int `json:"stock_mm"`
		NeedMM       int   `json:"need_mm"`
		LeastSurplus want  `json:"least_surplus"`
		FewestPieces want  `json:"fewest_pieces"`
	}
}

type want struct {
	Pieces    int
	SurplusMM int `json:"surplus_mm"`
}

// judgeCover compares value, not combination: ties exist.
func judgeCover(t *testing.T, name string, cat parts.Catalogue, needM float64, rule CoverRule, w want) {
	t.Helper()
	c := NewStock(cat).Cover(needM, 0, rule)
	surplus := int(math.Round((c.LengthM - needM) * 1000))
	if len(c.Pieces) != w.Pieces || surplus != w.SurplusMM {
		t.Errorf("%s, rule %d: %d pieces, %d mm over; want %d, %d mm", name, rule, len(c.Pieces), surplus, w.Pieces, w.SurplusMM)
	}
	sum := 0.0
	for i, p := range c.Pieces {
		sum += p.LengthM
		if i > 0 && p.LengthM > c.Pieces[i-1].LengthM {
			t.Errorf("%s: a longer piece behind a shorter one", name)
		}
	}
	if math.Abs(sum-c.LengthM) > 1e-9 {
		t.Errorf("%s: pieces of %g m are said to be %g m", name, sum, c.LengthM)
	}
}

// Cases A, B, C of the reference (testdata/wiring.json), both orders of
// preference.
func TestStockReference(t *testing.T) {
	n := 0
	for _, it := range load[wiring](t, "wiring.json").Items {
		var in struct {
			StockM    []float64 `json:"stock_m"`
			RequiredM float64   `json:"required_m"`
		}
		var out struct {
			MinSurplus, MinPieces struct {
				SurplusM float64 `json:"surplus_m"`
				Pieces   int
			}
		}
		var named struct {
			MinSurplus json.RawMessage `json:"min_surplus"`
			MinPieces  json.RawMessage `json:"min_pieces"`
		}
		if json.Unmarshal(it.Inputs, &in) != nil || len(in.StockM) == 0 {
			continue
		}
		n++
		for _, err := range []error{
			json.Unmarshal(it.Expected, &named),
			json.Unmarshal(named.MinSurplus, &out.MinSurplus), json.Unmarshal(named.MinPieces, &out.MinPieces),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		mm := func(m float64) int { return int(math.Round(m * 1000)) }
		judgeCover(t, it.ID, stockOf(in.StockM...), in.RequiredM, LeastSurplus, want{out.MinSurplus.Pieces, mm(out.MinSurplus.SurplusM)})
		judgeCover(t, it.ID, stockOf(in.StockM...), in.RequiredM, FewestPieces, want{out.MinPieces.Pieces, mm(out.MinPieces.SurplusM)})
	}
	if n != 3 {
		t.Errorf("%d cases, want A, B and C", n)
	}
}

// Every choice of pieces tried by an independent program (testdata/wiring.json).
// What takes too many joints is no cover: see TestJointsKept.
func TestStockEnumerated(t *testing.T) {
	for i, c := range load[wiring](t, "wiring.json").Enumerated {
		var lengths []float64
		for _, mm := range c.StockMM {
			lengths = append(lengths, float64(mm)/1000)
		}
		name := "enumerated " + string(rune('0'+i/10)) + string(rune('0'+i%10))
		if c.LeastSurplus.Pieces-1 <= parts.MostJoints {
			judgeCover(t, name, stockOf(lengths...), float64(c.NeedMM)/1000, LeastSurplus, c.LeastSurplus)
		}
		judgeCover(t, name, stockOf(lengths...), float64(c.NeedMM)/1000, FewestPieces, c.FewestPieces)
	}
}

// Stocks with which least surplus alone takes more joints than the rule on
// joints within a leg allows, by two independent programs (testdata/joints.json).
func TestJointsKept(t *testing.T) {
	doc := load[struct {
		MostPieces int `json:"most_pieces"`
		Covers     []struct {
			StockMM []int `json:"stock_mm"`
			NeedMM  int   `json:"need_mm"`
			want
		}
	}](t, "joints.json")
	if doc.MostPieces-1 != parts.MostJoints || len(doc.Covers) < 20 {
		t.Fatalf("%d covers of at most %d pieces", len(doc.Covers), doc.MostPieces)
	}
	for _, c := range doc.Covers {
		var lengths []float64
		for _, mm := range c.StockMM {
			lengths = append(lengths, float64(mm)/1000)
		}
		judgeCover(t, fmt.Sprint(c.NeedMM, " mm of ", c.StockMM), stockOf(lengths...), float64(c.NeedMM)/1000, LeastSurplus, c.want)
	}
}

// A thicker stock with longer pieces serves where the thinner takes too many.
func TestJointsKeptByThicker(t *testing.T) {
	cat := stockOf(0.5)
	cat.Parts = append(cat.Parts, parts.Part{ID: "thick", Kind: parts.Leg, LengthM: 5, AreaMM2: 2.5})
	s := NewStock(cat)
	for _, rule := range []CoverRule{LeastSurplus, FewestPieces} {
		if c := s.Cover(8.5, 0, rule); len(c.Pieces) != 17 || c.Pieces[0].AreaMM2 != 1 {
			t.Errorf("rule %d, 16 joints: %v", rule, c)
		}
		if c := s.Cover(8.6, 0, rule); len(c.Pieces) != 2 || c.Pieces[0].ID != "thick" {
			t.Errorf("rule %d, 17 joints: %v", rule, c)
		}
		if c := s.Cover(100, 0, rule); len(c.Pieces) != 200 {
			t.Errorf("rule %d, neither serves: %d pieces", rule, len(c.Pieces))
		}
	}
}

// The slow, obvious twin: all choices of up to so many pieces, those that keep
// to the joints allowed before all others.
func TestStockTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mms := rapid.SliceOfNDistinct(rapid.IntRange(200, 3000), 1, 4, rapid.ID[int]).Draw(t, "stock")
		need := rapid.IntRange(1, 6000).Draw(t, "need")
		var lengths []float64
		for _, mm := range mms {
			lengths = append(lengths, float64(mm)/1000)
		}
		least, fewest := [2]int{math.MaxInt, 0}, [2]int{math.MaxInt, 0}
		var try func(i, sum, n int)
		try = func(i, sum, n int) {
			if sum >= need {
				if a := [2]int{sum - need, n}; n-1 <= parts.MostJoints && (a[0] < least[0] || a[0] == least[0] && a[1] < least[1]) {
					least = a
				}
				if a := [2]int{n, sum - need}; a[0] < fewest[0] || a[0] == fewest[0] && a[1] < fewest[1] {
					fewest = a
				}
				return
			}
			for k := i; k < len(mms); k++ {
				try(k, sum+mms[k], n+1)
			}
		}
		try(0, 0, 0)
		if least[0] == math.MaxInt { // none keeps to it
			least = [2]int{fewest[1], fewest[0]}
		}
		s := NewStock(stockOf(lengths...))
		a, b := s.Cover(float64(need)/1000, 0, LeastSurplus), s.Cover(float64(need)/1000, 0, FewestPieces)
		if got := [2]int{millimetres(a.LengthM) - need, len(a.Pieces)}; got != least {
			t.Fatalf("stock %v, need %d mm: %v over and pieces, want %v", mms, need, got, least)
		}
		if got := [2]int{len(b.Pieces), millimetres(b.LengthM) - need}; got != fewest {
			t.Fatalf("stock %v, need %d mm: %v pieces and over, want %v", mms, need, got, fewest)
		}
	})
}

func TestCoverOddities(t *testing.T) {
	cat := stockOf(5, 5, 3)
	cat.Parts = append(cat.Parts, parts.Part{ID: "thick", Kind: parts.Leg, LengthM: 4, AreaMM2: 2.5})
	s := NewStock(cat)
	for _, c := range []struct {
		name        string
		need, area  float64
		wantM, mm2  float64
		wantPieces  int
		firstNeeded string
	}{
		{"0.1 + 0.2 m is 0.3 m: no millimetre is lost to binary dust", 0.1 + 0.2 + 4.7, 0, 5, 1, 1, "leg-5"},
		{"a micrometre more needs a longer leg", 5.000001, 0, 6, 1, 2, "leg-3"},
		{"a larger cross-section", 5, 1.5, 8, 2.5, 2, "thick"},
		{"none is large enough", 5, 4, 0, 0, 0, ""},
		{"nothing to cover", 0, 0, 0, 0, 0, ""},
		{"not known", math.NaN(), 0, 0, 0, 0, ""},
		{"no end", math.Inf(1), 0, 0, 0, 0, ""},
	} {
		got := s.Cover(c.need, c.area, LeastSurplus)
		if got.LengthM != c.wantM || len(got.Pieces) != c.wantPieces {
			t.Errorf("%s: %v", c.name, got)
			continue
		}
		if len(got.Pieces) > 0 && (got.Pieces[0].ID != c.firstNeeded || got.Pieces[0].AreaMM2 != c.mm2) {
			t.Errorf("%s: first piece %v", c.name, got.Pieces[0])
		}
	}
	if got := (Stock{}).Cover(1, 0, LeastSurplus); len(got.Pieces) > 0 {
		t.Errorf("no stock, but %v", got)
	}
	if got := s.Areas(); !slices.Equal(got, []float64{1, 2.5}) {
		t.Errorf("cross-sections %v", got)
	}
}
