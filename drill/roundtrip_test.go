package drill

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"runproof/input"
)

// written is the drill's description as text.
func written(t rapid.TB, d *Drill) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestCasesReadBack(t *testing.T) {
	for _, c := range Cases() {
		back, err := Read(strings.NewReader(written(t, c.Drill)), c.Name)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		if !reflect.DeepEqual(back, c.Drill) {
			t.Errorf("%s:\nwrote %+v\nread  %+v", c.Name, c.Drill, back)
		}
	}
}

// metres draws a place with the digits of a double, not a person's two.
func metres(lo, hi float64) *rapid.Generator[float64] { return rapid.Float64Range(lo, hi) }

func point() *rapid.Generator[Point] {
	return rapid.Custom(func(t *rapid.T) Point {
		return Point{metres(-60, 60).Draw(t, "forward"), metres(-200, 200).Draw(t, "right"), metres(-3, 10).Draw(t, "up")}
	})
}

// anyDrill draws a valid drill: every row of every product goes to some head
// or none, in any order.
func anyDrill() *rapid.Generator[*Drill] {
	return rapid.Custom(func(t *rapid.T) *Drill {
		d := &Drill{
			Runproof: Version,
			Name:     rapid.StringMatching(`[^\x00-\x1f\x7f-\x9f]{0,30}`).Draw(t, "name"),
			Display:  rapid.SampledFrom([]Display{Metric, US}).Draw(t, "display"),
			Rows: Rows{
				Count:    rapid.IntRange(1, 40).Draw(t, "count"),
				SpacingM: metres(0.03, 2).Draw(t, "spacing"),
				RanksM:   append([]float64{0}, rapid.SliceOfN(metres(-20, 0), 0, 3).Draw(t, "ranks")...),
			},
			Cart:   Cart{rapid.SampledFrom([]CartPosition{CartBetween, CartBehind}).Draw(t, "cart"), rapid.SampledFrom([]float64{0, metres(2, 20).Draw(t, "cart length")}).Draw(t, "cart length told"), metres(0, 8).Draw(t, "cart top")},
			GNSS:   GNSS{point().Draw(t, "gnss")},
			Work:   Work{metres(0.2, 6).Draw(t, "speed")},
			Supply: Supply{Volts: metres(6, 60).Draw(t, "volts"), OutletA: metres(0, 200).Draw(t, "outlet"), Ohm: metres(0, 2).Draw(t, "source")},
			Lift: Lift{
				Kind: rapid.SampledFrom([]LiftKind{LiftUnsaid, LiftParallel, LiftRockShaft, LiftRigid}).Draw(t, "lift"),
				ArmM: metres(0, 15).Draw(t, "arm"), PivotUpM: metres(0, 5).Draw(t, "pivot"), PinWorkUpM: metres(-1, 5).Draw(t, "pin"),
				PinRaisedUpM: metres(-1, 5).Draw(t, "pin raised"), SlopeDeg: metres(0, 30).Draw(t, "slope"), SwitchContact: rapid.Bool().Draw(t, "contact"),
			},
			Air: Air{
				PrimaryMPS: metres(0, 80).Draw(t, "primary"), HoseMPS: metres(0, 80).Draw(t, "hose"), FanPa: metres(0, 50000).Draw(t, "fan"),
				TemperatureC: metres(-30, 60).Draw(t, "temperature"), AltitudeM: metres(-500, 5000).Draw(t, "altitude"),
			},
		}
		if rapid.Bool().Draw(t, "cab is told") {
			at := point().Draw(t, "cab")
			d.Cab.At = &at
		}
		if rapid.Bool().Draw(t, "power point is told") {
			at := point().Draw(t, "power point")
			d.Supply.At = &at
		}
		for _, id := range rapid.SliceOfNDistinct(ids(), 1, 3, rapid.ID).Draw(t, "products") {
			p := Product{ID: ProductID(id), Material: rapid.StringMatching(`[ -~]{0,12}`).Draw(t, "material")}
			p.RateKgHa, p.TKWG = metres(0, 5000).Draw(t, "rate"), metres(0, 5000).Draw(t, "tkw")
			p.ParticleMM, p.DensityKgM3, p.FallMPS = metres(0, 30).Draw(t, "particle"), metres(0, 8000).Draw(t, "density"), metres(0, 40).Draw(t, "fall")
			d.Products = append(d.Products, p)
		}
		drawHeads(t, d)
		drawLists(t, d)
		return d
	})
}

// ids draws words that YAML could take for something else, too.
func ids() *rapid.Generator[string] {
	return rapid.OneOf(rapid.StringMatching(`[A-Za-z0-9_äß][A-Za-z0-9_.\-]{0,6}`), rapid.SampledFrom([]string{"true", "no", "null", "1", "0x1F", "1e5", "12-1", "1.0", "_", "2024-01-02"}))
}

func drawHeads(t *rapid.T, d *Drill) {
	for i, id := range rapid.SliceOfNDistinct(ids(), 1, 5, rapid.ID).Draw(t, "heads") {
		h := Head{ID: HeadID(id), Product: d.Products[i%len(d.Products)].ID, At: point().Draw(t, "at")}
		if rapid.Bool().Draw(t, "hoses said") {
			h.HoseM, h.HoseMM = metres(0.1, 40).Draw(t, "hose_m"), metres(5, 200).Draw(t, "hose_mm")
			h.PrimaryM, h.PrimaryMM, h.RiserM = metres(0.1, 60).Draw(t, "primary_m"), metres(20, 300).Draw(t, "primary_mm"), metres(0, 6).Draw(t, "riser_m")
			h.Bends = rapid.IntRange(0, 20).Draw(t, "bends")
		}
		d.Heads = append(d.Heads, h)
	}
	for _, p := range d.Products {
		rows := rapid.Permutation(allRows(d.Rows.Count)).Draw(t, "rows")
		for _, row := range rows {
			i := rapid.IntRange(-1, len(d.Heads)-1).Draw(t, "to head")
			if i >= 0 && d.Heads[i].Product == p.ID {
				d.Heads[i].Rows = append(d.Heads[i].Rows, row)
			}
		}
	}
	fed := d.Heads[:0]
	for _, h := range d.Heads {
		if len(h.Rows) > 0 {
			fed = append(fed, h)
		}
	}
	if len(fed) == 0 {
		h := d.Heads[0]
		h.Rows = RowList{1}
		fed = append(fed, h)
	}
	d.Heads = fed
}

func drawLists(t *rapid.T, d *Drill) {
	d.Sensing = Sensing{
		Node: rapid.StringMatching(`[A-Za-z0-9 #:-]{0,10}`).Draw(t, "node"), Products: []ProductID{d.Products[0].ID},
		SparePorts: rapid.IntRange(0, 64).Draw(t, "spare"), SensorFromHeadM: metres(0, 20).Draw(t, "sensor"),
	}
	for _, r := range d.Runs() {
		if rapid.IntRange(0, 9).Draw(t, "closed") == 0 {
			d.Closed = append(d.Closed, r.ID)
		}
	}
	for _, id := range rapid.SliceOfNDistinct(ids(), 0, 3, rapid.ID).Draw(t, "sections") {
		d.Sections = append(d.Sections, Section{ID: SectionID(id), Heads: []HeadID{d.Heads[0].ID}, Runs: d.Closed})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "frame") {
		id := fmt.Sprintf("P%d", i)
		d.Frame.Points = append(d.Frame.Points, FramePoint{id, point().Draw(t, "frame point")})
		if i > 0 {
			d.Frame.Links = append(d.Frame.Links, FrameLink{"P0", id, metres(0, 10).Draw(t, "slack")})
		}
	}
}

// Write then Read is the identity, and writing again gives the same bytes.
func TestWriteThenRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDrill().Draw(t, "drill")
		text := written(t, d)
		back, err := Read(strings.NewReader(text), "x")
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if !reflect.DeepEqual(back, d) {
			t.Fatalf("wrote %+v\nread  %+v", d, back)
		}
		if again := written(t, back); again != text {
			t.Fatalf("written twice:\n%s\n%s", text, again)
		}
	})
}

// A row list reads back from its text.
func TestRowListText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := RowList(rapid.SliceOfNDistinct(rapid.IntRange(1, MaxRows), 1, 60, rapid.ID).Draw(t, "rows"))
		back, err := ParseRowList(rows.String())
		if err != nil || !reflect.DeepEqual(back, rows) {
			t.Fatalf("%v as %q came back as %v, %v", rows, rows.String(), back, err)
		}
	})
}

func FuzzRead(f *testing.F) {
	for _, c := range Cases() {
		f.Add(written(f, c.Drill))
	}
	f.Add(minimal)
	f.Fuzz(func(t *testing.T, text string) {
		d, err := Read(strings.NewReader(text), "x")
		if err != nil {
			var faults input.Faults
			if !errors.As(err, &faults) || len(faults) == 0 {
				t.Fatalf("error without a place: %v", err)
			}
			return
		}
		back, err := Read(strings.NewReader(written(t, d)), "x")
		if err != nil || !reflect.DeepEqual(back, d) {
			t.Fatalf("%+v came back as %+v, %v", d, back, err)
		}
		for _, r := range d.Runs() {
			d.ReachM(d.Heads[0], r.Row)
		}
	})
}
