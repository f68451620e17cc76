package dossier

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"

	"runproof/alarm"
	"runproof/allocate"
	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/walk"
)

// fixtureProof says that two runs were swapped, one was silent and one unsure,
// as far as the fit has so many; the rest is as planned.
func fixtureProof(f *fit.Fit) *walk.Proof {
	offset := -12.4
	p := &walk.Proof{Runproof: walk.Version, Method: walk.Pinch, ClockOffsetS: &offset, Clock: &walk.Clock{StandardErrorS: 0.07}}
	for i, l := range f.Map {
		ref := l.Ref()
		r := walk.Run{Run: l.Run, Planned: ref, Found: &ref, Verdict: walk.AsPlanned, Confidence: 0.99999}
		switch {
		case (i == 3 || i == 8) && len(f.Map) > 8:
			other := f.Map[11-i].Ref()
			r.Found, r.Verdict, r.Reason = &other, walk.Moved, "Another port fell to 4 % of its usual count for 4.1 s while this hose was pinched."
		case i == 6:
			r.Found, r.Verdict, r.Confidence, r.Reason = nil, walk.Silent, 0.998, "No port reacted although the neighbours show that product flowed: dead sensor, loose tube or no flow."
		case i == 10:
			r.Verdict, r.Confidence, r.Reason = walk.Unsure, 0.71, "The evidence is too weak: the port fell to 60 % for 1.2 s only."
		}
		p.Runs = append(p.Runs, r)
	}
	if len(f.Map) > 8 {
		a, b := f.Map[3], f.Map[8]
		p.Moves = []walk.Move{
			{Run: a.Run, From: b.Ref(), To: a.Ref(), Words: fmt.Sprintf("Move %s from %s to %s; take off what is there and leave it loose.", a.Run, b.Ref(), a.Ref())},
			{Run: b.Run, From: a.Ref(), To: b.Ref(), Words: fmt.Sprintf("Plug %s into %s.", b.Run, b.Ref())},
		}
	}
	return p
}

func pageTexts(b *drawing.Book) []string {
	var all []string
	for _, s := range b.Sheets {
		all = append(all, s.Texts()...)
	}
	return all
}

func TestEveryDrillMakesABook(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fixture(c.Drill)
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			for _, p := range []*walk.Proof{nil, fixtureProof(f)} {
				name := fmt.Sprintf("%s, %v, proved %v", c.Name, paper, p != nil)
				in := Input{Fit: f, Proof: p, Paper: paper}
				if p != nil {
					in.Rules = fixtureRules(f)
				}
				b := Book(in)
				checkSheets(t, name, b.Sheets)
				texts := pageTexts(b)
				for _, l := range f.Map {
					if n := countOf(texts, string(l.Run)); n < 2 {
						t.Errorf("%s: run %s stands in the book %d times; port map and key-in sheet must both have it", name, l.Run, n)
					}
				}
				for _, n := range nameNodes(f) {
					if !slices.Contains(texts, n.Name+" · "+n.Serial) || !slices.Contains(texts, n.Name) {
						t.Errorf("%s: node %s is missing from the key-in sheet", name, n.Serial)
					}
				}
			}
		}
	}
}

func TestPicturesOfEveryDrill(t *testing.T) {
	for _, c := range drill.Cases() {
		f := fixture(c.Drill)
		for _, w := range []float64{160, 280} {
			checkSheets(t, c.Name, []*drawing.Sheet{PortMap(f, nil, w), PortMap(f, fixtureProof(f), w)})
		}
	}
}

// What the rules say must stand on the key-in sheet to the figure.
func TestAlarmsAreKeyedIn(t *testing.T) {
	f := fixture(drill.Cases()[3].Drill)
	texts := pageTexts(Book(Input{Fit: f, Rules: fixtureRules(f)}))
	for _, want := range []string{
		"40 %", "2.4 s", "3.4 s", "82 %", "119 %", "2.1 %", "8.58 m", "never",
		"floor 40 %, hold 2.4 s", "disagrees",
	} {
		if !slices.Contains(texts, want) {
			t.Errorf("the book lacks %q", want)
		}
	}
}

func TestThinRules(t *testing.T) {
	f := fixture(drill.Cases()[0].Drill)
	zero, far := 0.0, 1e7
	for name, r := range map[string]*alarm.Rules{
		"empty":           {},
		"rule alone":      {Allowed: 1, Rules: []alarm.Rule{{Product: "seed", Floor: 0.4, HoldS: 2}}},
		"zero and far":    {Allowed: 1e-9, Rules: []alarm.Rule{{Product: "seed", Missed: alarm.Missed{Blocked: &zero, Half: &far}, FalseAlarmsPerDay: 1e6}}},
		"none allowed":    {Rules: []alarm.Rule{{Product: "seed", Missed: alarm.Missed{Blocked: &far}}}},
		"strange product": {Allowed: 1, Rules: []alarm.Rule{{Product: "lime"}}},
	} {
		checkSheets(t, name, Book(Input{Fit: f, Rules: r}).Sheets)
	}
}

// The same books from the planner's own fits: nodes that serve several heads, spare ports, names of its making.
func TestPlannedDrillsMakeABook(t *testing.T) {
	for _, c := range drill.Cases() {
		if c.Drill.Rows.Count <= 100 {
			c.Drill.Sensing.SparePorts = 1
		}
		f, _, err := allocate.Fit(c.Drill, parts.BuiltIn(), nil, fit.Provenance{By: "runproof plan"})
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		checkSheets(t, c.Name, Book(Input{Fit: f, Proof: fixtureProof(f)}).Sheets)
	}
}

func countOf(texts []string, want string) int {
	n := 0
	for _, t := range texts {
		if t == want {
			n++
		}
	}
	return n
}

// The book stays as small as the drill: a hundred sensed runs take about six
// pages, whatever the paper.
func TestPageCounts(t *testing.T) {
	for name, most := range map[string]int{"one row": 8, "400 rows, 60 heads": 34} {
		i := slices.IndexFunc(drill.Cases(), func(c drill.Case) bool { return c.Name == name })
		if n := len(Book(Input{Fit: fixture(drill.Cases()[i].Drill)}).Sheets); n > most {
			t.Errorf("%s: %d pages, want at most %d", name, n, most)
		}
	}
}

func TestWriteIsValidAndTheSameTwice(t *testing.T) {
	for _, c := range drill.Cases()[:4] {
		f := fixture(c.Drill)
		var a, b bytes.Buffer
		for _, w := range []*bytes.Buffer{&a, &b} {
			if err := Write(w, Input{Fit: f, Proof: fixtureProof(f)}); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: the same input gave other bytes", c.Name)
		}
		// Independent judge: pdfcpu v0.15.0.
		if err := api.Validate(bytes.NewReader(a.Bytes()), nil); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
	}
}

// A fit that a person wrote badly must not bring the book down: no nodes, a
// link to a run that the drill has not, a node of no ports, names that are too long.
func TestOddFits(t *testing.T) {
	d := drill.Cases()[0].Drill
	long := strings.Repeat("long name ", 30)
	for name, change := range map[string]func(*fit.Fit){
		"no nodes":      func(f *fit.Fit) { f.Nodes, f.Map = nil, nil },
		"strange run":   func(f *fit.Fit) { f.Map[0].Run = "Z-99" },
		"no ports":      func(f *fit.Fit) { f.Nodes[0].Ports = 0 },
		"many ports":    func(f *fit.Fit) { f.Nodes[0].Ports = 48 },
		"strange head":  func(f *fit.Fit) { f.Nodes[0].Head = "Q" },
		"long names":    func(f *fit.Fit) { f.Drill.Name, f.Nodes[0].Serial, f.Map[0].Node = long, long, long },
		"foreign words": func(f *fit.Fit) { f.Drill.Name = "Сеялка Żuraw 12 м" },
		"no name":       func(f *fit.Fit) { f.Drill.Name = "" },
	} {
		f := fixture(d)
		change(f)
		b := Book(Input{Fit: f})
		if name != "many ports" {
			checkSheets(t, name, b.Sheets)
		}
	}
}

func TestProofIsToldPlainly(t *testing.T) {
	f := fixture(drill.Cases()[4].Drill)
	all := strings.Join(pageTexts(Book(Input{Fit: f, Proof: fixtureProof(f)})), "\n")
	for _, want := range []string{"needs attention", "4 runs to look at", "silent", "71.0 %", "The recorder's clock was 12.4 s behind the notes'", "did not find 4 runs as planned"} {
		if !strings.Contains(strings.ReplaceAll(all, "\n", " "), want) {
			t.Errorf("book does not say %q", want)
		}
	}
	p := fixtureProof(f)
	for i := range p.Runs {
		p.Runs[i].Verdict = walk.AsPlanned
	}
	all = strings.Join(pageTexts(Book(Input{Fit: f, Proof: p})), " ")
	if strings.Contains(all, "needs attention") || !strings.Contains(all, "Every sensed run answered on its own port.") {
		t.Error("a good proof is not told as such")
	}
}

func TestWorkSwitchIsNamedOrLeftOpen(t *testing.T) {
	f := fixture(drill.Cases()[0].Drill)
	for _, c := range []struct {
		w    fit.WorkSwitch
		want []string
	}{
		{fit.WorkSwitch{}, []string{"____________________", "☐ closed ☐ open while the drill is in the ground"}},
		{fit.WorkSwitch{Node: "4101", Work: fit.WorkOpen}, []string{"open while the drill is in the ground"}},
		{fit.WorkSwitch{Node: "4101", Work: fit.WorkClosed}, []string{"closed while the drill is in the ground"}},
	} {
		texts := pageTexts(Book(Input{Fit: f, Work: c.w}))
		for _, w := range c.want {
			if !slices.Contains(texts, w) {
				t.Errorf("%+v: key-in sheet lacks %q", c.w, w)
			}
		}
	}
}

// Each caution of the trade's list must be in the book. Sources: Iowa
// farm-safety notes and European seed association advice (abstracts) for
// treated seed and dust; the rest common practice, no source.
func TestCautionsAreComplete(t *testing.T) {
	all := ""
	for _, c := range cautionList() {
		all += c.when + " " + c.text + " "
	}
	for _, want := range []string{
		"tag", "Gloves", "eye protection", "respirator", "Stand upwind", "bare hand", "water and animals", "Wash before eating",
		"Lock the wings", "key out", "hydraulic pressure released", "vent before a lid", "ammonia", "under the frame while the tank valve is open",
		"water at hand", "toward the soil", "catch what comes out", "never goes back to feed",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("cautions do not say %q", want)
		}
	}
}
