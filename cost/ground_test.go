package cost

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/review"
)

// cutOf gives the area by rows side by side of one day on the drill of eight
// rows.
func cutOf(events []review.Event, skips ...Skip) map[string]float64 {
	doc := Estimate(Input{Drill: drill8("canola", 5), Days: []Day{{Events: events, Skips: skips}}, Seed: 1, Draws: 10})
	out := map[string]float64{}
	for _, e := range doc.Events {
		for _, p := range e.Pieces {
			out[fmt.Sprintf("%d:%d", e.Event, p.Rows)] += p.AreaM2
		}
	}
	return out
}

func wantPieces(t *testing.T, got, want map[string]float64, tol float64) {
	t.Helper()
	for k, v := range want {
		if math.Abs(got[k]-v) > tol {
			t.Errorf("event:rows %s: %.2f m2, want %.2f", k, got[k], v)
		}
	}
	for k, v := range got {
		if _, ok := want[k]; !ok && v > tol {
			t.Errorf("event:rows %s: %.2f m2, want none", k, v)
		}
	}
}

// TestSideBySide: by hand. Rows are 0.25 m wide; the drill's rows 1 to 8 lie from
// 0 to 2 m east, and it goes north at 2 m/s.
func TestSideBySide(t *testing.T) {
	t.Run("alone", func(t *testing.T) {
		got := cutOf([]review.Event{blocked(1, 3, 0, 100)}, strip(1, 0.5, 0.75, 0, 200))
		wantPieces(t, got, map[string]float64{"1:1": 50}, 0.2)
	})
	t.Run("two for half the way", func(t *testing.T) {
		got := cutOf([]review.Event{blocked(1, 3, 0, 100), blocked(2, 4, 50, 100)},
			strip(1, 0.5, 0.75, 0, 200), strip(2, 0.75, 1, 100, 200))
		wantPieces(t, got, map[string]float64{"1:1": 25, "1:2": 25, "2:2": 25}, 0.4)
	})
	t.Run("a row between", func(t *testing.T) {
		got := cutOf([]review.Event{blocked(1, 3, 0, 100), blocked(2, 5, 0, 100)},
			strip(1, 0.5, 0.75, 0, 200), strip(2, 1, 1.25, 0, 200))
		wantPieces(t, got, map[string]float64{"1:1": 50, "2:1": 50}, 0.2)
	})
	t.Run("outer rows of two passes", func(t *testing.T) {
		// up with row 8 at the east, back down beside it with row 8 at the west
		got := cutOf([]review.Event{blocked(1, 8, 0, 100), blocked(2, 8, 200, 300)},
			strip(1, 1.75, 2, 0, 200), strip(2, 2.03, 2.28, 0, 200))
		wantPieces(t, got, map[string]float64{"1:2": 50, "2:2": 50}, 0.2)
	})
	t.Run("passes without places", func(t *testing.T) {
		got := cutOf([]review.Event{blocked(1, 8, 0, 100), blocked(2, 8, 200, 300), blocked(3, 7, 50, 100)})
		wantPieces(t, got, map[string]float64{"1:1": 25, "1:2": 25, "2:1": 50, "3:2": 25}, 0.01)
	})
	t.Run("partly sown by another pass", func(t *testing.T) {
		ev := blocked(1, 3, 0, 100)
		ev.AreaM2 = 20 // of 50 that the strip covers
		wantPieces(t, cutOf([]review.Event{ev}, strip(1, 0.5, 0.75, 0, 200)), map[string]float64{"1:1": 20}, 0.1)
		ev.AreaM2 = 0
		wantPieces(t, cutOf([]review.Event{ev}, strip(1, 0.5, 0.75, 0, 200)), map[string]float64{}, 1e-9)
	})
	t.Run("one place is one", func(t *testing.T) {
		// a blocked run inside a head that starves: 8 rows short, row 3 twice
		starved := review.Event{ID: 2, Kind: review.HeadStarved, Head: "A", Product: "seed", Lost: 0.5, Start: "0", End: "100", Metres: 200, AreaM2: 400}
		for name, skips := range map[string][]Skip{
			"placed":   {strip(1, 0.5, 0.75, 0, 200), strip(2, 0, 2, 0, 200)},
			"by time":  nil,
			"in parts": {strip(1, 0.5, 0.75, 0, 200), strip(2, 0, 0.75, 0, 200), strip(2, 0.75, 2, 0, 200)},
		} {
			got := cutOf([]review.Event{blocked(1, 3, 0, 100), starved}, skips...)
			all := 0.0
			for _, v := range got {
				all += v
			}
			if math.Abs(all-400) > 0.5 || math.Abs(got["1:8"]+got["2:8"]-400) > 0.5 {
				t.Errorf("%s: %v, want 400 m2 of 8 rows", name, got)
			}
		}
	})
	t.Run("round a bend", func(t *testing.T) {
		// a quarter of a circle of 30 m and its neighbour outside
		arc := func(event int, in, out float64) Skip {
			var ring [][2]float64
			for a := 0; a <= 45; a++ {
				ring = append(ring, polar(out, float64(a)*2))
			}
			for a := 45; a >= 0; a-- {
				ring = append(ring, polar(in, float64(a)*2))
			}
			return Skip{Event: event, Polygons: [][]Ring{{ringOf(ring)}}}
		}
		a, b := blocked(1, 3, 0, 25), blocked(2, 4, 0, 25)
		wantPieces(t, cutOf([]review.Event{a, b}, arc(1, 30, 30.25), arc(2, 30.25, 30.5)), map[string]float64{"1:2": 12.5, "2:2": 12.5}, 0.2)
		head := review.Event{ID: 1, Kind: review.HeadStarved, Head: "A", Product: "seed", Lost: 0.95, Start: "0", End: "25", Metres: 50, AreaM2: 100}
		wantPieces(t, cutOf([]review.Event{head}, arc(1, 30, 32)), map[string]float64{"1:8": 100}, 3)
	})
	t.Run("with a hole", func(t *testing.T) {
		whole := strip(1, 0, 2, 0, 200)
		hole := strip(1, 0.75, 1, 50, 150).Polygons[0][0]
		for i, j := 0, len(hole)-1; i < j; i, j = i+1, j-1 {
			hole[i], hole[j] = hole[j], hole[i]
		}
		whole.Polygons[0] = append(whole.Polygons[0], hole)
		head := review.Event{ID: 1, Kind: review.HeadStarved, Head: "A", Product: "seed", Lost: 0.95, Start: "0", End: "100", Metres: 200, AreaM2: 375}
		wantPieces(t, cutOf([]review.Event{head}, whole), map[string]float64{"1:8": 200, "1:3": 75, "1:4": 100}, 4)
	})
}

func polar(r, deg float64) [2]float64 {
	s, c := math.Sincos(deg * math.Pi / 180)
	return [2]float64{r * s, r * c}
}

// TestSideBySideTwin holds the strips against a slow twin: straight passes side
// by side, each metre of each row short or not, counted cell by cell.
func TestSideBySideTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const rows, passes, longM = 8, 3, 60
		short := [rows * passes][longM]int{}
		var events []review.Event
		var skips []Skip
		for i := range rapid.IntRange(1, 8).Draw(t, "events") {
			col := rapid.IntRange(0, rows*passes-1).Draw(t, "row")
			from := rapid.IntRange(0, longM/2).Draw(t, "from")
			to := from + rapid.IntRange(5, longM/2).Draw(t, "long")
			for m := from; m < to; m++ {
				short[col][m]++
			}
			pass := float64(col / rows)
			ev := blocked(i+1, col%rows+1, 100*pass+float64(from)/2, 100*pass+float64(to)/2)
			events = append(events, ev)
			skips = append(skips, strip(i+1, float64(col)*0.25, float64(col+1)*0.25, float64(from), float64(to)))
		}
		want := map[int]float64{}
		for m := range longM {
			for c := range short {
				if short[c][m] == 0 {
					continue
				}
				a, b := c, c
				for a > 0 && short[a-1][m] > 0 {
					a--
				}
				for b+1 < len(short) && short[b+1][m] > 0 {
					b++
				}
				want[b-a+1] += 0.25
			}
		}
		got := map[int]float64{}
		for k, v := range cutOf(events, skips...) {
			var ev, n int
			fmt.Sscanf(k, "%d:%d", &ev, &n)
			got[n] += v
		}
		// stations stand a metre apart: each end of a strip may be off by half
		tol := 0.25*0.5*2*float64(len(events)) + 0.2
		for n := range rows * passes {
			if math.Abs(got[n]-want[n]) > tol {
				t.Fatalf("%d rows: %.2f m2, cell by cell %.2f; all %v, %v", n, got[n], want[n], got, want)
			}
		}
	})
}

// TestEverySecondRow: where only every second row of the drill gets seed, the
// stand's rows are twice as far apart, and so is the ground that one leaves.
func TestEverySecondRow(t *testing.T) {
	d := drill8("canola", 5)
	d.Heads[0].Rows = []int{1, 3, 5, 7}
	doc := of(d, Assumptions{}, blocked(1, 2, 0, 100), blocked(2, 3, 0, 100))
	if doc.Products[0].PitchM != 0.5 {
		t.Fatalf("rows %g m apart", doc.Products[0].PitchM)
	}
	for _, e := range doc.Events {
		if len(e.Pieces) != 1 || e.Pieces[0].Rows != 2 || math.Abs(e.Pieces[0].AreaM2-100) > 1e-9 {
			t.Errorf("%+v", e.Pieces)
		}
	}
}

func TestReadSkips(t *testing.T) {
	for text, want := range map[string]string{
		``:                   "s.geojson: no GeoJSON: unexpected end of JSON input; make one with runproof review",
		`{"type":"Feature"}`: `s.geojson: is "Feature", not a FeatureCollection; make one with runproof review`,
		`{"type":"FeatureCollection","features":[{"geometry":{"type":"Point","coordinates":[1,2]}}]}`:                                                                                       `s.geojson:1:41: feature 1: "Point" is no area; make one with runproof review`,
		`{"type":"FeatureCollection","features":[{"geometry":{"type":"Polygon","coordinates":[[[1,95],[2,3],[1,95]]]}}]}`:                                                                   `s.geojson:1:41: feature 1: [1 95] is no longitude and latitude; make one with runproof review`,
		"{\"type\":\"FeatureCollection\",\n\"features\":[}":                                                                                                                                 "s.geojson:2:13: no GeoJSON: invalid character '}' looking for beginning of value; make one with runproof review",
		"{\"type\":\"FeatureCollection\",\"features\":[\n{\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[]}},\n {\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[1,\"a\"]]]}}]}": "s.geojson:3:2: feature 2: json: cannot unmarshal string into Go value of type float64; make one with runproof review",
		`{"type":"FeatureCollection","features":[{"properties":{"event":4},"geometry":{"type":"Polygon","coordinates":[[[1,5],[2,3]]]}}]}`:                                                  "",
	} {
		s, err := ReadSkips(strings.NewReader(text), "s.geojson")
		if got := fmt.Sprint(err); want != "" && got != want || want == "" && (err != nil || s[0].Event != 4) {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func FuzzReadSkips(f *testing.F) {
	f.Add(`{"type":"FeatureCollection","features":[{"properties":{"event":1},"geometry":{"type":"MultiPolygon","coordinates":[[[[1,2],[1,2.001],[1.00001,2.001],[1.00001,2],[1,2]]]]}}]}`)
	f.Add(`{"type":"FeatureCollection","features":[{"properties":{"event":1},"geometry":{"type":"Polygon","coordinates":[[],[[0,0],[180,90],[-180,-90]]]}}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		skips, err := ReadSkips(strings.NewReader(text), "s")
		if err != nil {
			return
		}
		doc := Estimate(Input{Drill: drill8("canola", 5), Days: []Day{{Events: []review.Event{blocked(1, 3, 0, 100)}, Skips: skips}}, Seed: 1, Draws: 10})
		if h := doc.Total.HarvestM2; !(h.Low >= 0 && h.High <= 60) {
			t.Errorf("50 m2 short cost the harvest of %+v", h)
		}
	})
}
