package yard

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/fit"
)

// paper makes one of the papers.
func paper(t *testing.T, in Input, name string) *drawing.Book {
	t.Helper()
	j, err := newJob(in)
	if err != nil {
		t.Fatal(err)
	}
	switch name {
	case "pre-assembly":
		return j.preAssembly()
	case "staging":
		return j.staging()
	case "run-sheet":
		return j.runSheet()
	}
	b, err := j.labelBook()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// worked are the papers to work from, without the labels.
var worked = []string{"pre-assembly", "staging", "run-sheet"}

func textsOf(b *drawing.Book) []string {
	var out []string
	for _, s := range b.Sheets {
		out = append(out, s.Texts()...)
	}
	return out
}

// lineOf returns a text and those on its line to the right of it, in order.
func lineOf(s *drawing.Sheet, at drawing.Point) []string {
	var line []drawing.Text
	for _, item := range s.Items {
		if v, ok := item.(drawing.Text); ok && v.At.Y > at.Y-0.01 && v.At.Y < at.Y+0.01 && v.At.X >= at.X {
			line = append(line, v)
		}
	}
	slices.SortFunc(line, func(a, b drawing.Text) int {
		if a.At.X < b.At.X {
			return -1
		}
		return 1
	})
	texts := make([]string, len(line))
	for i, v := range line {
		texts[i] = v.Text
	}
	return texts
}

var portRef = regexp.MustCompile(`^\d+:\d+$`)

// TestEveryRunStandsOnceOnTheRunSheet reads the table of tubes back from the
// drawn pages: node:port, run, head, outlet, row of every sensed run, each once.
func TestEveryRunStandsOnceOnTheRunSheet(t *testing.T) {
	for _, c := range drill.Cases() {
		f := whole(c.Drill)
		got := map[string]int{}
		for _, s := range paper(t, Input{Fit: f}, "run-sheet").Sheets {
			for _, item := range s.Items {
				if v, ok := item.(drawing.Text); ok && portRef.MatchString(v.Text) {
					got[strings.Join(lineOf(s, v.At)[:5], " ")]++
				}
			}
		}
		for _, want := range mapLines(f) {
			if got[want] != 1 {
				t.Errorf("%s: %q stands %d times on the run sheet", c.Name, want, got[want])
			}
			delete(got, want)
		}
		if len(got) > 0 {
			t.Errorf("%s: the run sheet has lines that the fit has not: %v", c.Name, got)
		}
	}
}

// mapLines are the lines of the map as the run sheet has them, from the drill and the
// fit alone.
func mapLines(f *fit.Fit) []string {
	var out []string
	for _, h := range f.Drill.Heads {
		for i, row := range h.Rows {
			for _, l := range f.Map {
				if l.Run == drill.NewRunID(h.ID, i+1) {
					out = append(out, fmt.Sprintf("%s:%d %s %s %d %d", l.Node, l.Port, l.Run, h.ID, i+1, row))
				}
			}
		}
	}
	return out
}

// TestWalkFollowsThePlan finds every sensed run once in the walk's boxes, and
// no run out of the order of the map.
func TestWalkFollowsThePlan(t *testing.T) {
	for _, c := range drill.Cases() {
		f := bare(c.Drill)
		j, err := newJob(Input{Fit: f})
		if err != nil {
			t.Fatal(err)
		}
		var got []drill.RunID
		for _, g := range j.walkOrder() {
			for _, r := range g.runs {
				got = append(got, r.ID)
			}
		}
		var want []drill.RunID
		for _, l := range f.Map {
			want = append(want, l.Run)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: walk %v, plan %v", c.Name, got, want)
		}
	}
}

// TestCapsAndTubesOfEachNode adds up: every port of a node has a tube or a cap.
func TestCapsAndTubesOfEachNode(t *testing.T) {
	for _, c := range drill.Cases() {
		j, err := newJob(Input{Fit: bare(c.Drill)})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range j.nodes {
			ports := slices.Clone(n.Free)
			for _, l := range n.Links {
				ports = append(ports, l.Port)
			}
			slices.Sort(ports)
			if len(ports) != n.Ports || ports[0] != 1 || ports[len(ports)-1] != n.Ports || len(slices.Compact(ports)) != n.Ports {
				t.Errorf("%s: node %s of %d ports has %v", c.Name, n.Serial, n.Ports, ports)
			}
		}
	}
}

// TestWhatIsMissingIsSaid looks at a fit without any of the later plans: each
// paper says so, and no sheet prints a figure that nobody planned.
func TestWhatIsMissingIsSaid(t *testing.T) {
	f := bare(drill.Cases()[0].Drill)
	for name, wants := range map[string][]string{
		"pre-assembly": {"Not in this fit: the parts list", "Not in this fit: the harness"},
		"staging":      {"Not in this fit: the places of gateway and antenna", "Not in this fit: the place of the work-state switch", "Not in this fit: the harness"},
		"run-sheet": {
			"Not in this fit: the harness", "Not in this fit: the places of gateway and antenna", "Not in this fit: the resistance to expect across the pair",
			"Not in this fit: the fuse", "Not in this fit: the voltages to expect at the boxes", "Not in this fit: the set-up of the work-state switch",
		},
	} {
		texts := textsOf(paper(t, Input{Fit: f}, name))
		for _, want := range wants {
			if !slices.Contains(texts, want) {
				t.Errorf("%s does not say %q", name, want)
			}
		}
	}
	for _, name := range worked {
		for _, s := range textsOf(paper(t, Input{Fit: f}, name)) {
			if strings.Contains(s, "NaN") || strings.Contains(s, "0.00 V") || strings.Contains(s, "%!") {
				t.Errorf("%q is nonsense", s)
			}
		}
	}
}

func TestBrokenRulesStandFirst(t *testing.T) {
	f := whole(drill.Cases()[0].Drill)
	for range 40 { // more than a page holds
		f.Checks = append(f.Checks, brokenRule())
	}
	for _, name := range worked {
		b := paper(t, Input{Fit: f}, name)
		checkPages(t, "broken rules, "+name, b)
		first := strings.Join(b.Sheets[0].Texts(), " ")
		if !strings.Contains(first, "The plan breaks 40 rules") || !strings.Contains(first, "volts at the last node, node 4101: 8.20 V, at least 9.00 V") {
			t.Errorf("%s hides a broken rule: %s", name, first)
		}
	}
}

// TestMeasuredFiguresAreThoseOfTheFit looks for the volts and ohms to expect.
func TestMeasuredFiguresAreThoseOfTheFit(t *testing.T) {
	f := whole(drill.Cases()[3].Drill)
	texts := textsOf(paper(t, Input{Fit: f}, "run-sheet"))
	for _, want := range []string{"12.00 V", "11.80 V", "0.20 V", "9.00 V", "11.89 V", "60.2\u00a0Ω", "50 to 65 Ω", "-14.5°", "+10.8°", "anything else"} {
		if !slices.Contains(texts, want) {
			t.Errorf("the run sheet lacks %q", want)
		}
	}
}

// TestPagesAreNumbered reads head and foot of each page.
func TestPagesAreNumbered(t *testing.T) {
	f := whole(drill.Cases()[1].Drill) // 400 rows, 60 heads
	for _, name := range worked {
		b := paper(t, Input{Fit: f, Job: "Long Field"}, name)
		for i, s := range b.Sheets {
			for _, want := range []string{fmt.Sprintf("page %d of %d", i+1, len(b.Sheets)), "fit revision 2 · " + f.Hash()[:8]} {
				if !slices.Contains(s.Texts(), want) {
					t.Errorf("%s, page %d lacks %q", name, i+1, want)
				}
			}
			if !slices.ContainsFunc(s.Texts(), func(s string) bool { return strings.HasSuffix(s, " · Long Field") }) {
				t.Errorf("%s, page %d lacks the job", name, i+1)
			}
		}
	}
}

func TestSameBytesTwice(t *testing.T) {
	write := func() []byte {
		var out bytes.Buffer
		docs, err := Sheets(Input{Fit: whole(drill.Cases()[9].Drill)})
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range docs {
			if err := pdf.Write(&out, d.Book); err != nil {
				t.Fatal(err)
			}
		}
		return out.Bytes()
	}
	if !bytes.Equal(write(), write()) {
		t.Error("the same fit gives other bytes")
	}
}

func TestJobText(t *testing.T) {
	for _, c := range []struct{ drill, job, want string }{
		{"North Quarter drill, 12 m", "", "North Quarter drill"},
		{"An uncommonly long name of a drill", "", "An uncommonly long name"},
		{"", "", "job"},
		{"any", "  Home   farm ", "Home farm"},
	} {
		d := *drill.Cases()[0].Drill
		d.Name = c.drill
		j, err := newJob(Input{Fit: bare(&d), Job: c.job})
		if err != nil || j.name != c.want {
			t.Errorf("%q, %q: %q (%v), want %q", c.drill, c.job, j.name, err, c.want)
		}
	}
	if _, err := newJob(Input{Fit: bare(drill.Cases()[0].Drill), Job: strings.Repeat("x", 25)}); err == nil {
		t.Error("a job text of 25 characters is taken")
	}
}

// TestCutLengths: the kit's lay of 15 % up to whole 5 cm gives 0.50 m for 0.4 m
// (0.46 m) and 0.65 m for 0.53 m (0.61 m); 0.50 m are 19.69 inches.
func TestCutLengths(t *testing.T) {
	metric, us := unitsOf(drill.Metric), unitsOf(drill.US)
	for _, c := range []struct{ got, want string }{
		{metric.cut(0.5), "0.50 m"},
		{metric.cut(0.501), "0.51 m"},
		{us.cut(0.5), "20.0 in"},
		{us.cut(0.254), "10.0 in"},
		{metric.place(drill.Point{Forward: -0.4, Right: -4.5, Up: 1.6}), "0.40\u00a0m behind, 4.50\u00a0m left, 1.60\u00a0m up"},
		{us.place(drill.Point{Forward: 0.3048}), "1.00\u00a0ft ahead, in the middle, on the ground"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// TestUnknownSwitchIsSetUpByMeasuring: where the plan knows no angle, the sheet
// says how to find the thresholds, and what else could carry the switch.
func TestUnknownSwitchIsSetUpByMeasuring(t *testing.T) {
	f := whole(drill.Cases()[0].Drill)
	w := &f.WorkSwitch
	w.Work, w.WorkDeg, w.UpDeg, w.RaiseAt, w.LowerAt = fit.WorkUnknown, nil, nil, nil, nil
	w.Options = []fit.SwitchOption{{On: "an arm of the linkage", NeedDeg: 8.2, Typical: "20 to 40°"}, {On: "the rock shaft", NeedDeg: 8.2}}
	texts := strings.Join(textsOf(paper(t, Input{Fit: f}, "run-sheet")), " ")
	for _, want := range []string{"16.4°", "20 to 40°", "the rock shaft", "half-way, and 15 %", "see what the switch says in the ground"} {
		if !strings.Contains(texts, want) {
			t.Errorf("the run sheet lacks %q", want)
		}
	}
}
