package fit

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/input"
)

// What is written reads back as the same, byte for byte, for every drill.
func TestWriteThenRead(t *testing.T) {
	for _, c := range drill.Cases() {
		f := plain(c.Drill)
		text := written(t, f)
		back, err := Read(bytes.NewReader(text), "fit.json")
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		if again := written(t, back); !bytes.Equal(text, again) {
			t.Errorf("%s: reads back as something else", c.Name)
		}
		if f.Hash() != back.Hash() {
			t.Errorf("%s: hash changes", c.Name)
		}
	}
}

// A faulty fit names every fault with its place and a remedy.
func TestFaults(t *testing.T) {
	text := string(written(t, plain(threeHeads(t))))
	for _, ch := range [][2]string{ // by hand, as someone might edit it
		{`"revision": 1`, `"revision": 0`},
		{`"serial": "4102"`, `"serial": "4101"`},
		{`"head": "C"`, `"head": "D"`},
		{"\"run\": \"A-2\",\n      \"node\": \"4101\",\n      \"port\": 2", "\"run\": \"A-2\",\n      \"node\": \"4101\",\n      \"port\": 1"},
		{"\"run\": \"A-4\",\n      \"node\": \"4101\",\n      \"port\": 4", "\"run\": \"A-44\",\n      \"node\": \"4101\",\n      \"port\": 40"},
		{"\"run\": \"C-1\",\n      \"node\": \"4103\"", "\"run\": \"C-2\",\n      \"node\": \"4130\""},
		{`"spacing_m": 0.25`, `"spacing_m": 25`},
		{`"tube_m": 0.4`, `"tube_m": -1`},
	} {
		if !strings.Contains(text, ch[0]) {
			t.Fatalf("the fit has no %q", ch[0])
		}
		text = strings.Replace(text, ch[0], ch[1], 1)
	}
	_, err := Read(strings.NewReader(text), "fit.json")
	var faults input.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("no faults: %v", err)
	}
	want := []string{
		"revision is 0; revisions count from 1",
		"the drill inside: spacing_m is 25; it must be 0.03 to 2; did you mean 0.25 (25 cm)",
		"nodes 1 and 2 both have the serial 4101; each node has its own",
		`node 4103 is mounted at head "D", which the drill does not have; did you mean`,
		"the tube of run A-1 is -1 m long; write a length in metres",
		"port 4101:1 listens to run A-1 and to run A-2; a port listens to one sensor",
		`port 4101:40 listens to run "A-44", which the drill does not have; did you mean A-4?`,
		"run A-44 goes to port 40 of node 4101, which has 12 ports; use 1 to 12",
		`run B-1 goes to node "4102", which the fit does not have; did you mean 4101?`,
		`run C-2 goes to node "4130", which the fit does not have; did you mean 4103?`,
		"run C-2 goes to port 4130:1 and to port 4103:2; a run has one sensor",
	}
	for _, w := range want {
		if !slices.ContainsFunc(faults, func(f input.Fault) bool { return strings.Contains(f.Error(), w) }) {
			t.Errorf("no fault says %q; got\n%v", w, err)
		}
	}
	lines := strings.Split(text, "\n")
	for _, f := range faults {
		if f.Place.Line < 1 || f.Place.Line > len(lines) || f.Place.Col < 1 || f.Place.Col > len(lines[f.Place.Line-1]) {
			t.Errorf("%v: no such place", f)
		}
	}
	if i := slices.IndexFunc(faults, func(f input.Fault) bool { return strings.Contains(f.What, "port 40 of node") }); i < 0 ||
		!strings.HasPrefix(lines[faults[i].Place.Line-1][faults[i].Place.Col-1:], "40") {
		t.Errorf("the fault of port 40 is not at it: %v", faults)
	}
}

func TestNotAFit(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "f: is empty; make a fit with runproof plan"},
		{"{", "f:1:1: not a fit document: unexpected end of JSON input; restore the file, or make it anew with runproof plan"},
		{"{}\n{}", "f:2:1: not a fit document"},
		{`{"runproof": "drill/1"}`, `f:1:14: document is "drill/1", not "fit/1"; make one with runproof plan`},
		{"{\n \"runproof\": \"fit/1\",\n \"nodes\": {}}", "f:3:11: nodes cannot be a object"},
		{`{"runproof": "fit/1", "drill": {"cart": {"position": "beside"}}}`, `f: "beside" is no cart position; use between or behind`},
		{"runproof: fit/1", "f:1:1: not a fit document"},
	} {
		_, err := Read(strings.NewReader(c.text), "f")
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %s", c.text, err, c.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(written(f, plain(threeHeads(f))))
	f.Add(written(f, plain(drill.Cases()[0].Drill)))
	f.Add([]byte(`{"runproof":"fit/1","revision":1,"drill":{"rows":{"count":-1}}}`))
	f.Add([]byte("{}"))
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := Read(bytes.NewReader(text), "fit.json")
		if err != nil {
			var faults input.Faults
			if !errors.As(err, &faults) || len(faults) == 0 {
				t.Fatalf("an error without faults: %v", err)
			}
			return
		}
		if d := Diff(got, clone(t, got)); len(d) > 0 {
			t.Fatalf("a fit differs from itself: %v", d)
		}
		if _, err := got.WithMap(got.Map, Provenance{}); err != nil {
			t.Fatalf("its own map is no map: %v", err)
		}
	})
}
