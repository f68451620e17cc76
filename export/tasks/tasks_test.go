package tasks

import (
	"bytes"
	"errors"
	"io"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"runproof/drill"
	"runproof/export"
	"runproof/flowlog"
	"runproof/flowlog/taskdata"
	"runproof/input"
	"runproof/track"
)

// By hand: drill "sections" has 48 rows 0.25 m apart in ranks at 0, -0.6 and -1.2
// m. S1 is head A, rows 1 to 12: from -5.875 to -3.125 m, so its middle is at
// -4.5 m, 3 m wide, between the ranks at -0.6 m. S2 is heads B and C, rows 13 to
// 36, the middle of the drill, 6 m. S3 is D-1 to D-6, rows 37 to 42, 3.125 to
// 4.375 m: 3.75 m, 1.5 m wide; the rest of D, rows 43 to 48, is 5.25 m. The
// antenna does not matter, and the hitch is the tractor's coupling.
func TestSectionsByHand(t *testing.T) {
	var d *drill.Drill
	for _, c := range drill.Cases() {
		if c.Name == "sections" {
			d = c.Drill
		}
	}
	want := []struct {
		name        string
		x, y, width int
	}{{"S1", -600, -4500, 3000}, {"S2", -600, 0, 6000}, {"S3", -600, 3750, 1500}, {"Head D", -600, 5250, 1500}}
	k := 0
	for _, e := range elements(t, parsed(t, made(t, Input{Day: starved(t, d), Drill: d}))) {
		switch e.kind {
		case 2:
			if *e.values["0086"] != -600 || *e.values["0087"] != 0 || *e.values["0043"] != 12000 || *e.values["0046"] != 12000 {
				t.Errorf("function: %v", e)
			}
		case 4:
			w := want[k]
			k++
			if e.name != w.name || *e.values["0086"] != w.x || *e.values["0087"] != w.y || *e.values["0088"] != 0 || *e.values["0043"] != w.width {
				t.Errorf("%s at %d, %d, %d mm wide; want %v", e.name, *e.values["0086"], *e.values["0087"], *e.values["0043"], w)
			}
		case 6:
			at := d.Places().Tractor
			if *e.values["0086"] != int(math.Round(at.Forward*1000)) || *e.values["0088"] != -int(math.Round(at.Up*1000)) || *e.values["009D"] != 1 {
				t.Errorf("connector: %v, the hitch is at %v", e, at)
			}
		}
	}
	if k != len(want) {
		t.Errorf("%d sections", k)
	}
}

// 110 kg/ha are 11 000 mg/m2 (1 kg/ha = 1e6 mg over 1e4 m2); half of it where
// half was lost; all of it where that is asked for.
func TestRates(t *testing.T) {
	for kgHa, want := range map[float64]int{110: 11000, 0.5: 50, 62.55: 6255} {
		if got := (zone{tenths: 10}).rate(kgHa); got != want {
			t.Errorf("%g kg/ha: %d mg/m2, want %d", kgHa, got, want)
		}
	}
	for lost, want := range map[float64]int{0: 1, 0.04: 1, 0.26: 3, 0.5: 5, 0.8999: 9, 0.9: 10, 1: 10} {
		if got := tenths(lost, false); got != want {
			t.Errorf("lost %g: %d tenths, want %d", lost, got, want)
		}
		if tenths(lost, true) != 10 {
			t.Errorf("lost %g: not the whole rate", lost)
		}
	}
	d := &drill.Drill{Rows: drill.Rows{Count: 2, SpacingM: 0.25}, Products: []drill.Product{{ID: "seed"}}, Heads: []drill.Head{{ID: "A", Product: "seed", Rows: drill.RowList{1, 2}}}}
	_, err := Make(Input{Day: starved(t, d), Drill: d})
	var fault input.Fault
	if !errors.As(err, &fault) || !strings.Contains(fault.Error(), "product seed has no rate") {
		t.Errorf("%v", err)
	}
}

// NAME by hand (ISO 11783-5): self-configurable 1, industry group 2 (010),
// instance 0 are A0; device class 4 and a spare bit 08; function 128 is 80;
// instances 00; manufacturer 2046 = 11111111110 then 21 bits of identity.
func TestClient(t *testing.T) {
	c := InventedClient("North Quarter")
	if s := c.String(); s[:10] != "A0088000FF" || uint64(c)>>21&0x7ff != 2046 {
		t.Errorf("%s", s)
	}
	if c == InventedClient("South Quarter") {
		t.Error("two drills have one NAME")
	}
	if got, err := ParseClient(" a00884000000002A "); err != nil || got.String() != "A00884000000002A" {
		t.Errorf("%v, %v", got, err)
	}
	for _, bad := range []string{"", "A0", "A00884000000002AF", "G00884000000002A"} {
		if _, err := ParseClient(bad); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

// A terminal must not mix up two states of a drill: its label changes with the
// geometry and with nothing else.
func TestStructureLabel(t *testing.T) {
	label := func(d drill.Drill) string {
		dvc, _ := device(&d, 1, false)
		for _, a := range dvc.attr {
			if a.name == "F" {
				return a.value
			}
		}
		return ""
	}
	a := *drill.Cases()[4].Drill
	b := a
	b.Rows.SpacingM = 0.26
	c := a
	c.Work.SpeedMPS++
	if label(a) == label(b) || label(a) != label(c) {
		t.Errorf("%s, %s with other rows, %s at another speed", label(a), label(b), label(c))
	}
}

// Ground that two events left short lies in one zone alone: the higher rate. The
// zones together are all the ground there is.
func TestZonesDoNotOverlap(t *testing.T) {
	in := demoInput(t)
	more := in.Day.Short[3] // the starved head: 0.42 lost
	more.Event.Lost, more.Event.Product = 0.97, "seed"
	in.Day.Short = append(in.Day.Short, more)
	zones := zonesOf(in.Day, "seed", false)
	var sum float64
	var all []export.Ground
	for _, z := range zones {
		sum += z.ground.AreaM2()
	}
	for _, s := range in.Day.Short {
		if s.Event.Product == "seed" {
			all = append(all, s.Ground)
		}
	}
	if len(zones) != 2 || zones[0].tenths != 10 || zones[1].tenths != 5 {
		t.Fatalf("%d zones: %v", len(zones), zones)
	}
	if whole := export.Union(all...).AreaM2(); math.Abs(sum-whole) > 0.001*whole {
		t.Errorf("zones have %.1f m2, the ground %.1f", sum, whole)
	}
}

// Every cell that ground touches has its code and no other cell has: judged by
// simplefeatures' Intersects on each cell, shrunk and grown by a thousandth so that
// mere touching decides nothing.
func TestGridCellByCell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plane := track.At(52, -106.5)
		var zones []zone
		for i := range rapid.IntRange(1, 2).Draw(t, "zones") {
			n := rapid.IntRange(3, 6).Draw(t, "corners")
			var r export.Ring
			x, y := rapid.Float64Range(-20, 20).Draw(t, "x"), rapid.Float64Range(-20, 20).Draw(t, "y")
			for k := range n {
				s, c := math.Sincos(2 * math.Pi * (float64(k) + rapid.Float64Range(0, 0.8).Draw(t, "turn")) / float64(n))
				far := rapid.Float64Range(1, 15).Draw(t, "far")
				lat, lon := plane.ToDegrees(y+far*s, x+far*c)
				r = append(r, export.Position{lon, lat})
			}
			g, _ := export.Sound([]export.Polygon{{append(r, r[0])}})
			if len(g) == 0 {
				t.Skip("no area")
			}
			zones = append(zones, zone{i + 1, 10 - i, g})
		}
		g, err := gridOf(zones, rapid.Float64Range(0.7, 6).Draw(t, "cell"))
		if err != nil {
			t.Fatal(err)
		}
		for row := range g.rows {
			for col := range g.cols {
				var sure, maybe byte
				for i := len(zones) - 1; i >= 0; i-- {
					if g.touches(zones[i].ground, row, col, -0.001) {
						sure = byte(zones[i].code)
					}
					if g.touches(zones[i].ground, row, col, 0.001) {
						maybe = byte(zones[i].code)
					}
				}
				if got := g.codes[row*g.cols+col]; got != sure && got != maybe {
					t.Fatalf("cell %d, %d has code %d, want %d or %d", row, col, got, sure, maybe)
				}
			}
		}
	})
}

// Ground that the 180th meridian cuts has no grid, however large the cells; polygons
// hold it.
func TestNoGridRoundTheEarth(t *testing.T) {
	square := func(lon float64) export.Ground {
		return export.Ground{{{{lon, -16.8}, {lon + 1e-4, -16.8}, {lon + 1e-4, -16.7999}, {lon, -16.7999}, {lon, -16.8}}}}
	}
	_, err := gridOf([]zone{{1, 10, append(square(179.9999), square(-180)...)}}, 3000)
	if err == nil || !strings.Contains(err.Error(), "leave out --grid") {
		t.Errorf("%v", err)
	}
	if g, err := gridOf([]zone{{1, 10, square(179.9999)}}, 3); err != nil || g.rows*g.cols > 25 {
		t.Errorf("%v", err)
	}
}

func (g *grid) touches(ground export.Ground, row, col int, grow float64) bool {
	corner := func(dx, dy float64) geom.XY {
		return geom.XY{X: g.west + (float64(col)+dx)*g.wide, Y: g.south + (float64(row)+dy)*g.high}
	}
	box := geom.NewEnvelope(corner(-grow, -grow), corner(1+grow, 1+grow)).AsGeometry()
	for _, p := range ground {
		var flat []float64
		for _, at := range p[0] {
			flat = append(flat, at[0], at[1])
		}
		ring := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(flat, geom.DimXY))})
		if geom.Intersects(ring.AsGeometry(), box) {
			return true
		}
	}
	return false
}

// By hand: a strip of 100 by 0.25 m has 25 m2 and an outline of 200.5 m; the drill
// "sections" has sections of 1.5, 3 and 6 m. A field of 60 by 12 m is wider than any.
func TestNarrow(t *testing.T) {
	if got := narrowest(drill.Cases()[6].Drill, "seed"); got != 1.5 {
		t.Errorf("narrowest section is %g m", got)
	}
	plane := track.At(52, -106.5)
	for _, c := range []struct {
		long, wide, section float64
		want                int
	}{{100, 0.25, 1.5, 1}, {100, 0.25, 0.25, 0}, {60, 12, 6, 0}, {60, 12, 15, 1}, {5, 5, 5, 0}, {5, 5, 6, 1}} {
		var r export.Ring
		for _, p := range [][2]float64{{0, 0}, {c.long, 0}, {c.long, c.wide}, {0, c.wide}} {
			lat, lon := plane.ToDegrees(p[1], p[0])
			r = append(r, export.Position{lon, lat})
		}
		g := export.Ground{{append(r, r[0])}}
		if got := (zone{ground: g}).narrower(c.section); got != c.want || math.Abs(g.OutlineM()-2*(c.long+c.wide)) > 1e-6 {
			t.Errorf("%g by %g m beside %g: %d narrow, outline %g", c.long, c.wide, c.section, got, g.OutlineM())
		}
	}
}

// What does not go together is said.
func TestNotes(t *testing.T) {
	d := drill.Cases()[6].Drill
	day := starved(t, d)
	day.Summary.Drill, day.Short[0].Event.Product = "another", "clover"
	set := made(t, Input{Day: day, Drill: d})
	for i, want := range []string{`the day was recorded on "another"`, `product "clover" of the day is not the drill's`, "no ground to sow again"} {
		if i >= len(set.Notes) || !strings.HasPrefix(set.Notes[i], want) {
			t.Errorf("%q, want %s", set.Notes, want)
		}
	}
	if set := made(t, demoInput(t)); len(set.Notes) != 2 || !strings.HasPrefix(set.Notes[0], "4 of 4 polygons for seed are narrower than a section (5.75 m)") {
		t.Errorf("%q", set.Notes)
	}
}

// A grid's file is as long as its head says, and its zones hold no polygons.
func TestGridSet(t *testing.T) {
	in := demoInput(t)
	in.GridM = 3
	set := made(t, in)
	root := inSchema(t, set)
	for i, task := range root.all("TSK") {
		g := task.all("GRD")[0]
		file := set.Files[i+1]
		if file.Name != g.at("G")+".BIN" || len(file.Bytes) != g.num(t, "E")*g.num(t, "F") || len(file.Bytes) != g.num(t, "H") {
			t.Errorf("%s of %d bytes: %v", file.Name, len(file.Bytes), g.Attrs)
		}
		for _, z := range task.all("TZN") {
			if len(z.all("PLN")) > 0 {
				t.Error("a zone has polygons beside the grid")
			}
			if code := byte(z.num(t, "A")); !bytes.Contains(file.Bytes, []byte{code}) {
				t.Errorf("no cell has code %d", code)
			}
		}
	}
	in.GridM = 0.001
	if _, err := Make(in); err == nil || !strings.Contains(err.Error(), "take cells of") {
		t.Errorf("%v", err)
	}
}

// The house's own reader opens a set that has this TASKDATA.XML and time logs
// beside it, and knows the drill's elements by name (logs of the sample set, which
// came with the issue; its elements DET-1 to DET-9 are in this set too).
func TestOwnReaderOpensTheSet(t *testing.T) {
	const logs = "../../flowlog/taskdata/testdata/invented"
	files := fstest.MapFS{}
	for _, n := range []string{"TLG00001.XML", "TLG00001.BIN"} {
		b, err := os.ReadFile(logs + "/" + n)
		if err != nil {
			t.Fatal(err)
		}
		files[n] = &fstest.MapFile{Data: b}
	}
	set := made(t, demoInput(t))
	files["TASKDATA.XML"] = &fstest.MapFile{Data: set.Files[0].Bytes}
	s, err := taskdata.Open(files, "set")
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Devices) != 1 || len(s.Devices[0].Elements) != 10 {
		t.Fatalf("%+v", s.Devices)
	}
	dev := &s.Devices[0]
	for i := range dev.Elements {
		e := &dev.Elements[i]
		if e.Type == taskdata.FunctionElement {
			left, right := dev.Sections(e)[0], dev.Sections(e)[1]
			yl, _ := dev.Property(left, taskdata.OffsetY)
			yr, _ := dev.Property(right, taskdata.OffsetY)
			wl, _ := dev.Property(left, taskdata.WidthActual)
			// by hand: seed rows 1 to 23 and 26 to 48 (24 and 25 are closed), fertiliser
			// 1 to 23 and 25 to 47: 22 spacings of 0.25 m and a half on either side
			want := map[string]int{"seed": 3125, "fert": 2875}[e.Name]
			if left.Name != "LEFT" || right.Name != "RIGHT" || yl != -3125 || yr != want || wl != 5750 {
				t.Errorf("%s: %s at %d mm, %d wide; %s at %d", e.Name, left.Name, yl, wl, right.Name, yr)
			}
		}
	}
	r, err := s.Log("", nil)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for b := new(flowlog.Batch); ; {
		err := r.Read(b)
		n += b.Len()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if n != 177 { // records of the log, as truth.json of the sample says
		t.Errorf("%d records", n)
	}
}

func TestDesignator(t *testing.T) {
	for in, want := range map[string]string{
		" a\x00b\n": "ab", strings.Repeat("ü", 40): strings.Repeat("ü", 32), "🌾": "🌾", "\xff": "",
	} {
		if got := designator(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	if strings.Contains(export.Safety, "--") {
		t.Error("the caution cannot stand in a comment")
	}
}

// The same input gives the same bytes.
func TestSameBytes(t *testing.T) {
	in := demoInput(t)
	in.GridM = 5
	a, b := made(t, in), made(t, in)
	for i := range a.Files {
		if !bytes.Equal(a.Files[i].Bytes, b.Files[i].Bytes) {
			t.Errorf("%s differs the second time", a.Files[i].Name)
		}
	}
}
