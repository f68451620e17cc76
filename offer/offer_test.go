package offer

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"runproof/allocate"
	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/plan"
)

var update = flag.Bool("update", false, "renew the golden files")

func read(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// demoInput is the demo's quote.
func demoInput(t testing.TB) Input {
	t.Helper()
	d, err := drill.Read(bytes.NewReader(read(t, "../demo/drill.yaml")), "drill.yaml")
	if err != nil {
		t.Fatal(err)
	}
	cat, err := parts.BuiltIn().With(bytes.NewReader(read(t, "../demo/prices.yaml")), "prices.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := ReadSettings(bytes.NewReader(read(t, "../demo/dealer.yaml")), "dealer.yaml")
	if err != nil {
		t.Fatal(err)
	}
	o, err := plan.Make(d, cat, plan.Options{Effort: allocate.Effort}, fit.Provenance{By: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return Input{Fit: o.Fit, Kit: o.Fit.Kit, Settings: s}
}

// The table has a line for each part, and its counts are those of the kit.
func TestCSV(t *testing.T) {
	kit := demoInput(t).Kit
	kit.Lines[0].Name = "=1+1 as a name"
	var b bytes.Buffer
	if err := WriteCSV(&b, kit); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != len(kit.Lines)+1 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	sum := 0.0
	for i, l := range kit.Lines {
		r := rows[i+1]
		if r[0] != l.Part || r[5] != strconv.Itoa(l.Pieces()) || r[6] != "" {
			t.Errorf("%v, want %+v", r, l)
		}
		v, _ := strconv.ParseFloat(r[10], 64)
		sum += v
	}
	if cost, _ := kit.Cost(); math.Abs(sum-cost) > 0.005*float64(len(kit.Lines)) {
		t.Errorf("the table adds up to %.2f, the kit to %.2f", sum, cost)
	}
	if rows[1][2] != "'=1+1 as a name" {
		t.Errorf("a name that is taken for a formula: %q", rows[1][2])
	}
}

// A spreadsheet reads back with numbers as numbers, formulas with the value that
// they have, and comes out the same each time. (Read also with openpyxl 3.0.9,
// with and without its cached values, when this was written.)
func TestXLSX(t *testing.T) {
	kit := demoInput(t).Kit
	var a, b bytes.Buffer
	if err := WriteXLSX(&a, kit, "Kit"); err != nil {
		t.Fatal(err)
	}
	if err := WriteXLSX(&b, kit, "Kit"); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two writings differ")
	}
	x, err := excelize.OpenReader(&a)
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	last := 4 + len(kit.Lines)
	for i, l := range kit.Lines {
		at := cell(colPick, 4+i)
		typ, _ := x.GetCellType("Kit", at)
		v, _ := x.GetCellValue("Kit", at, excelize.Options{RawCellValue: true})
		if typ == excelize.CellTypeSharedString || typ == excelize.CellTypeInlineString || v != strconv.Itoa(l.Pieces()) {
			t.Errorf("%s is %q of type %v, want %d", at, v, typ, l.Pieces())
		}
	}
	cost, _ := kit.Cost()
	for _, c := range []struct {
		at   string
		want float64
	}{{cell(colSum, last), cost}} {
		v, _ := x.GetCellValue("Kit", c.at, excelize.Options{RawCellValue: true})
		got, _ := strconv.ParseFloat(v, 64)
		if f, _ := x.GetCellFormula("Kit", c.at); !strings.HasPrefix(f, "SUM(") || math.Abs(got-c.want) > 0.001 {
			t.Errorf("%s: %q, %q, want %v", c.at, v, f, c.want)
		}
		if re, err := x.CalcCellValue("Kit", c.at, excelize.Options{RawCellValue: true}); err != nil || re != v {
			t.Errorf("%s reckons to %q, carries %q, %v", c.at, re, v, err)
		}
	}
}

func TestEmptyKit(t *testing.T) {
	var b bytes.Buffer
	if err := WriteXLSX(&b, parts.Kit{}, "none"); err != nil {
		t.Error(err)
	}
	if err := WriteCSV(&b, parts.Kit{}); err != nil {
		t.Error(err)
	}
}

// By hand: 3 at 1.005 is 3 x 1.01 (half away from zero), tax 19 % of 3.03 is
// 0.58; two hours and a half for each of two nodes at 10 are 60.00.
func TestMoney(t *testing.T) {
	kit := parts.Kit{Lines: []parts.Line{{Part: "cap", Kind: parts.Cap, Count: 3, Price: 1.005}, {Part: "tee", Kind: parts.Tee, Count: 1}}}
	_, got := positions(kit, Settings{Tax: Tax{Percent: 19}}, 2, 0)
	if want := (Totals{Parts: 303, Tax: 58, Total: 361, Unpriced: 1}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	_, got = positions(parts.Kit{}, Settings{Labour: Labour{Rate: 10, Hours: 1, HoursPerNode: 2.5}}, 2, 0)
	if want := (Totals{Labour: 6000, Total: 6000}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	for v, want := range map[cents]string{0: "0.00", 5: "0.05", -1234: "-12.34", 123456789: "1\u202f234\u202f567.89"} {
		if v.String() != want {
			t.Errorf("%d: %s, want %s", v, v, want)
		}
	}
}

// The total is the sum of its lines and the tax, whatever the kit.
func TestTotalsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var kit parts.Kit
		for range rapid.IntRange(0, 20).Draw(t, "lines") {
			kit.Lines = append(kit.Lines, parts.Line{
				Part: "x", Kind: parts.Kind(rapid.IntRange(1, 18).Draw(t, "kind")), Count: rapid.IntRange(1, 500).Draw(t, "count"),
				Price: float64(rapid.IntRange(0, 100000).Draw(t, "price")) / 100,
			})
		}
		s := Settings{Tax: Tax{Percent: rapid.Float64Range(0, 30).Draw(t, "tax")}, Markup: rapid.Float64Range(-50, 100).Draw(t, "markup")}
		lines, got := positions(kit, s, 0, 0)
		if len(lines) != len(kit.Lines) {
			t.Fatalf("%d lines of %d", len(lines), len(kit.Lines))
		}
		sum := int64(0)
		for _, l := range lines {
			sum += int64(l.sum)
		}
		if got.Parts != sum || got.Total != got.Parts+got.Labour+got.Tax {
			t.Fatalf("%+v, lines add up to %d", got, sum)
		}
	})
}

func TestReadSettings(t *testing.T) {
	for text, want := range map[string]string{
		"runproof: settings/1\ndealer: {name: A}\ncurency: EUR\n":            `s.yaml:3:1: unknown key "curency"; did you mean currency?`,
		"runproof: settings/1\ncurrency: EUR\n":                              "s.yaml:1:1: key dealer is missing",
		"runproof: settings/1\ndealer: {name: ' '}\n":                        "s.yaml:2:16: the dealer has no name",
		"runproof: settings/1\ndealer: {name: A}\nquote: {date: 3.2.2026}\n": `s.yaml:3:15: "3.2.2026" is no date; write it as year-month-day`,
		"runproof: settings/1\ndealer: {name: A}\ntax: {percent: 190}\n":     "s.yaml:3:16: percent is 190; it must be 0 to 100",
		"runproof: settings/2\ndealer: {name: A}\n":                          "s.yaml:1:11: ",
		"runproof: settings/1\ndealer: {name: A}\nlabour: {rate: -1}\n":      "s.yaml:3:16: rate is -1",
		"runproof: settings/1\ndealer: {name: A, address: not a list}\n":     "s.yaml:2:28: ",
	} {
		if _, err := ReadSettings(strings.NewReader(text), "s.yaml"); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

func FuzzReadSettings(f *testing.F) {
	f.Add(string(read(f, "../demo/dealer.yaml")))
	f.Fuzz(func(_ *testing.T, text string) { ReadSettings(strings.NewReader(text), "s.yaml") })
}

// What the demo's quote says, to be read by a person; and nothing on it names
// the program over the dealer's head.
func TestQuote(t *testing.T) {
	in := demoInput(t)
	for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
		in.Paper = paper
		for i, s := range Quote(in).Sheets {
			if s.Size != paper.Portrait() {
				t.Errorf("page %d of %s is %v", i+1, paper, s.Size)
			}
			if strings.Contains(strings.Join(s.Texts(), " "), "Runproof") {
				t.Errorf("page %d names the program", i+1)
			}
		}
	}
	in.Paper = drawing.A4
	var out bytes.Buffer
	for i, s := range Quote(in).Sheets {
		fmt.Fprintf(&out, "== page %d\n%s\n", i+1, strings.Join(s.Texts(), "\n"))
	}
	const file = "testdata/quote.txt"
	if *update {
		if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(out.Bytes(), read(t, file)) {
		t.Errorf("%s changed; look at the pages, then renew with -update", file)
	}
	var a, b bytes.Buffer
	if Write(&a, in) != nil || Write(&b, in) != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two quotes of one fit differ")
	}
}

// Every drill can be quoted, by a dealer who says nothing but a name.
func TestEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		o, err := plan.Make(c.Drill, parts.BuiltIn(), plan.Options{}, fit.Provenance{By: "test"})
		if err != nil {
			t.Fatal(err)
		}
		in := Input{Fit: o.Fit, Kit: o.Fit.Kit, Settings: Settings{Dealer: Party{Name: "A"}}}
		if b := Quote(in); len(b.Sheets) == 0 || in.Totals().Unpriced != len(in.Kit.Lines) {
			t.Errorf("%s: %d pages, %d lines on request of %d", c.Name, len(b.Sheets), in.Totals().Unpriced, len(in.Kit.Lines))
		}
		pieces, tees, junctions, ways := 0, 0, 0, map[string]int{}
		for _, l := range o.Fit.Harness.Legs {
			pieces += len(l.Pieces)
			ways[l.From]++
			ways[l.To]++
		}
		ways[o.Fit.Harness.Bus[0]]++ // terminators
		ways[o.Fit.Harness.Bus[len(o.Fit.Harness.Bus)-1]]++
		for _, p := range o.Fit.Harness.Places {
			if p.Kind == fit.JunctionPlace {
				junctions++
				tees += max(1, ways[p.ID]-2) // three ways each, two of them joined where two meet
			}
		}
		for kind, want := range map[parts.Kind]int{
			parts.Sensor: len(o.Fit.Map), parts.Clamp: 2 * len(o.Fit.Map), parts.Node: len(o.Fit.Nodes), parts.Leg: pieces, parts.Tee: tees,
			parts.Terminator: 2, parts.Fuse: 1, parts.Gateway: 1, parts.Antenna: 1, parts.Switch: 1, parts.Mount: 1, parts.Charger: 1, parts.SupplyEnd: 1, parts.Fixing: len(o.Fit.Nodes) + 3, parts.Adapter: 0,
		} {
			if n := in.Kit.Count(kind); n != want {
				t.Errorf("%s: %d of kind %s, the fit has %d", c.Name, n, kind, want)
			}
		}
		if n := in.Kit.Count(parts.Label); n != 2*len(o.Fit.Map)+2*len(o.Fit.Harness.Legs)+2+len(o.Fit.Nodes)+junctions {
			t.Errorf("%s: %d labels", c.Name, n)
		}
		if n := in.Kit.Count(parts.Cap); n != o.Fit.FreePorts() {
			t.Errorf("%s: %d caps for %d free ports", c.Name, n, o.Fit.FreePorts())
		}
	}
}

func ExampleWriteCSV() {
	kit := parts.BuiltIn().Kit(parts.Need{Nodes: []parts.Some{{Part: "node-12", Pieces: 2}}, FreePorts: 3})
	kit.Lines = kit.Lines[:2]
	WriteCSV(os.Stdout, kit)
	// Output:
	// part,kind,name,to_fit,spare,pick,shelf,order,instead_of,price,sum,weight_kg,why
	// node-12,node,"sensing node, 12 ports",2,0,2,,,,,,1.80,
	// cap,cap,port cap,3,1,4,,,,,,,one for each port that listens to no run
}
