package walk

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

func text(p *Proof) string {
	var b strings.Builder
	p.Write(&b)
	return b.String()
}

func TestZeroVerdictIsUnsure(t *testing.T) {
	var r Run
	if b, _ := json.Marshal(r.Verdict); string(b) != `"unsure"` {
		t.Error(string(b))
	}
	var m Method
	if m.String() != "auto" {
		t.Error(m)
	}
}

func TestWords(t *testing.T) {
	for i, w := range verdictWords {
		var v Verdict
		if err := v.UnmarshalText([]byte(w)); err != nil || v != Verdict(i) || v.String() != w {
			t.Error(w, v, err)
		}
	}
	for i, w := range methodWords {
		var m Method
		if err := m.UnmarshalText([]byte(w)); err != nil || m != Method(i) || m.String() != w {
			t.Error(w, m, err)
		}
	}
	for _, bad := range []string{"", "AS_PLANNED", "swapped"} {
		var v Verdict
		var m Method
		if v.UnmarshalText([]byte(bad)) == nil || m.UnmarshalText([]byte(bad)) == nil {
			t.Errorf("%q is taken", bad)
		}
	}
	if _, err := Verdict(9).MarshalText(); err == nil {
		t.Error("verdict 9 is written")
	}
	if _, err := Method(-1).MarshalText(); err == nil {
		t.Error("method -1 is written")
	}
}

func TestProofReadsWhatItWrites(t *testing.T) {
	o, left := -12.4, 0.04
	p := &Proof{
		Runproof: Version, Method: Pinch, ClockOffsetS: &o, Clock: &Clock{StandardErrorS: 0.1, ScatterS: 0.8, RunnerUpS: &o}, Moves: []Move{},
		Runs: []Run{{
			Run: "A-1", Planned: fit.PortRef{Node: "1001", Port: 1}, Found: &fit.PortRef{Node: "1001", Port: 3}, Verdict: Moved, Confidence: 0.9999,
			Evidence: &Evidence{Start: "12.5", LengthS: 4, Left: &left, Nats: 41},
		}},
		NotInFit: []fit.PortRef{{Node: "X", Port: 2}}, Notes: []string{"n"},
	}
	q, err := Read(strings.NewReader(text(p)), "proof.json")
	if err != nil || text(q) != text(p) {
		t.Errorf("%v\n%s", err, text(q))
	}
	// The contract's example is a proof.
	const contract = `{"runproof":"proof/1","clock_offset_s":-12.4,
 "runs":[{"run":"A-1","planned":{"node":"1001","port":1},"found":{"node":"1001","port":3},"verdict":"moved","confidence":0.9999}]}`
	if q, err := Read(strings.NewReader(contract), "c"); err != nil || q.Runs[0].Verdict != Moved || *q.ClockOffsetS != -12.4 {
		t.Error(q, err)
	}
	for _, bad := range []string{"", "{}", `{"runproof":"fit/1"}`, `{"runproof":"proof/1","runs":[{"verdict":"fine"}]}`} {
		if _, err := Read(strings.NewReader(bad), "p.json"); err == nil || !strings.HasPrefix(err.Error(), "p.json: ") {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

func TestProvedMap(t *testing.T) {
	port := func(i int) fit.PortRef { return fit.PortRef{Node: "1", Port: i} }
	at := func(i int) *fit.PortRef { p := port(i); return &p }
	f := &fit.Fit{Nodes: []fit.Node{{Serial: "1", Ports: 4}}}
	p := &Proof{}
	for i, r := range []Run{
		{Verdict: Moved, Found: at(2)},     // a swap,
		{Verdict: Moved, Found: at(1)},     // its partner,
		{Verdict: Silent},                  // keeps its planned port,
		{Verdict: AsPlanned, Found: at(4)}, /* as it is */
	} {
		r.Run, r.Planned = drill.NewRunID("A", i+1), port(i+1)
		f.Map = append(f.Map, fit.Link{Run: r.Run, Node: "1", Port: i + 1})
		p.Runs = append(p.Runs, r)
	}
	links, without := p.ProvedMap(f)
	got := map[drill.RunID]int{}
	for _, l := range links {
		got[l.Run] = l.Port
	}
	if len(without) != 0 || got["A-1"] != 2 || got["A-2"] != 1 || got["A-3"] != 3 || got["A-4"] != 4 {
		t.Error(got, without)
	}
	// A run whose port another has, and that no port answers, is left out; a
	// port that the fit's node does not have cannot be in a fit.
	p.Runs[1] = Run{Run: "A-2", Planned: port(2), Verdict: Silent}
	p.Runs[3].Found, p.Runs[3].Verdict = at(9), Moved
	links, without = p.ProvedMap(f)
	if len(links) != 3 || len(without) != 1 || without[0].Run != "A-2" {
		t.Error(links, without)
	}
}

func TestProveFaults(t *testing.T) {
	y := plainYard()
	y.heads = []int{3}
	f := y.fit()
	port := flowlog.PortColumn(f.Map[0].Ref())
	logOf := func(n int, stepNS int64, cols ...flowlog.Column) *flowlog.Log {
		l := &flowlog.Log{}
		l.Columns = cols
		for i := range n {
			l.TimeNS = append(l.TimeNS, int64(i)*stepNS)
		}
		for range cols {
			l.Values = append(l.Values, make([]float64, n))
		}
		return l
	}
	good := logOf(200, 2e8, port)
	for _, c := range []struct {
		name  string
		fit   *fit.Fit
		log   *flowlog.Log
		marks *Marks
		want  string
	}{
		{"empty log", f, logOf(0, 1, port), nil, "the recording has 0 samples"},
		{"one line", f, logOf(1, 1, port), nil, "the recording has 1 samples"},
		{"no port", f, logOf(9, 2e8, flowlog.ColumnNamed("speed")), nil, "no column of a port"},
		{"coarse", f, logOf(9, 5e9, port), nil, "samples are 5 s apart"},
		{"a year", f, logOf(2000, 1e9, port, port), nil, ""},
		{"no runs", &fit.Fit{}, good, nil, "the fit senses no run"},
		{"no mark", f, good, &Marks{File: "m.csv"}, "m.csv: there is no mark in it"},
		{"other form", f, good, &Marks{File: "m.csv", Clock: flowlog.Seconds, Marks: []Mark{{Line: 2}}}, "m.csv:2: the marks have their times in decimal seconds, the recording in RFC 3339"},
		{"another day", f, good, &Marks{File: "m.csv", Marks: []Mark{{TimeNS: 3600e9, Run: f.Map[0].Run, Line: 2}}}, "clocks may differ by 120 s at most"},
		{"unknown run", f, good, &Marks{File: "m.csv", Marks: []Mark{{Run: "Z-9", Line: 4}}}, `m.csv:4: the fit senses no run "Z-9"`},
	} {
		_, err := Prove(c.fit, c.log, Options{Marks: c.marks})
		if c.want == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// TestProveSurvives holds recordings that say nothing: no panic, and no run as
// planned.
func TestProveSurvives(t *testing.T) {
	for _, c := range drill.Cases() {
		f := &fit.Fit{Drill: *c.Drill}
		port := 0
		for _, r := range c.Drill.Runs() {
			if r.Sensed {
				port++
				f.Map = append(f.Map, fit.Link{Run: r.ID, Node: "1", Port: port})
			}
		}
		if port == 0 {
			continue
		}
		for name, v := range map[string]func(i int) float64{
			"zero":    func(int) float64 { return 0 },
			"missing": func(int) float64 { return flowlog.Missing() },
			"same":    func(int) float64 { return 40 },
			"huge":    func(i int) float64 { return 1e12 * float64(i%2) },
		} {
			l := &flowlog.Log{}
			for _, k := range f.Map[:min(len(f.Map), 40)] {
				l.Columns = append(l.Columns, flowlog.PortColumn(k.Ref()))
				l.Values = append(l.Values, nil)
			}
			for i := range 300 {
				l.TimeNS = append(l.TimeNS, int64(i)*2e8)
				for k := range l.Values {
					l.Values[k] = append(l.Values[k], v(i))
				}
			}
			for _, m := range []*Marks{nil, {Marks: []Mark{{TimeNS: 20e9, Run: f.Map[0].Run}, {TimeNS: 300e9, Run: f.Map[len(f.Map)-1].Run}}}} {
				p, err := Prove(f, l, Options{Marks: m})
				if err != nil {
					t.Errorf("%s, %s: %v", c.Name, name, err)
				} else if n := p.Count(AsPlanned) + p.Count(Moved) + p.Count(Shared); n > 0 {
					t.Errorf("%s, %s: %d runs found", c.Name, name, n)
				}
			}
		}
	}
}

func FuzzReadProof(f *testing.F) {
	f.Add([]byte(`{"runproof":"proof/1","clock_offset_s":-12.4,"runs":[{"run":"A-1","planned":{"node":"1001","port":1},"verdict":"silent","confidence":1}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := Read(bytes.NewReader(b), "p")
		if err != nil {
			return
		}
		p.AllAsPlanned()
		q, err := Read(strings.NewReader(text(p)), "p")
		if err != nil || text(q) != text(p) {
			t.Fatal(err)
		}
	})
}
