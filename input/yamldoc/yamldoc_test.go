package yamldoc

import (
	"errors"
	"strings"
	"testing"
	"testing/iotest"

	"runproof/input"
)

type kind string

func (k *kind) UnmarshalText(b []byte) error {
	if string(b) != "round" {
		return input.Fault{What: `"` + string(b) + `" is no kind`, Remedy: "use round"}
	}
	*k = kind(b)
	return nil
}

type tags []string

func (l *tags) UnmarshalItems(items []Item) input.Faults {
	for _, it := range items {
		if it.Text == "bad" {
			return input.Faults{{Place: it.At, What: "a bad tag"}}
		}
		*l = append(*l, it.Text)
	}
	return nil
}

type part struct {
	ID    string  `json:"id" jsonschema:"required"`
	SizeM float64 `json:"size_m" jsonschema:"exclusiveMinimum=0,maximum=3"`
}

type paper struct {
	Name  string         `json:"name"`
	Kind  kind           `json:"kind"`
	On    bool           `json:"on"`
	N     int            `json:"n" jsonschema:"minimum=1"`
	Seed  uint64         `json:"seed"`
	At    float64        `json:"at" jsonschema:"maximum=9"`
	Price *float64       `json:"price"`
	Tags  tags           `json:"tags"`
	Words []string       `json:"words"`
	Parts []part         `json:"parts"`
	Table map[string]int `json:"table"`
	Skip  int            `json:"-"`
}

func decode(text string) (paper, *Document, error) {
	doc, err := Parse(strings.NewReader(text), "p.yaml")
	if err != nil {
		return paper{}, nil, err
	}
	p := paper{N: 7}
	doc.Decode(&p)
	return p, doc, doc.Err()
}

func TestDecode(t *testing.T) {
	p, doc, err := decode(`
name: "a: b"   # a comment
kind: round
on: true
seed: 9007199254740992
at: -1.5e+0
price: 0
tags: one
words: [1, two, 'three', no, 0x1F]
parts:
  - id: 2024-01-02
    size_m: .5
  - {id: B, size_m: 3}
table: {x: 1, y: 2}
`)
	if err != nil {
		t.Fatal(err)
	}
	if p.Name != "a: b" || p.Kind != "round" || !p.On || p.N != 7 || p.Seed != 1<<53 || p.At != -1.5 || p.Price == nil {
		t.Errorf("scalars: %+v", p)
	}
	if got := strings.Join(p.Words, " ") + strings.Join(p.Tags, " "); got != "1 two three no 0x1Fone" {
		t.Errorf("lists: %q", got)
	}
	if len(p.Parts) != 2 || p.Parts[0] != (part{"2024-01-02", 0.5}) || p.Table["y"] != 2 {
		t.Errorf("parts %v, table %v", p.Parts, p.Table)
	}
	if at := doc.At("parts", 1, "size_m"); at != (input.Place{File: "p.yaml", Line: 13, Col: 21}) {
		t.Errorf("parts[1].size_m stands at %v", at)
	}
	if at := doc.At("parts", 1, "colour"); at.Line != 13 || at.Col != 5 {
		t.Errorf("a missing key stands at %v, not where its part does", at)
	}
	if doc.Has("parts", 2) || !doc.Has("parts", 0, "id") || !doc.Sound("nowhere") {
		t.Error("Has or Sound")
	}
}

func TestFaults(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "p.yaml: is empty"},
		{"blank", " \n\n", "p.yaml: is empty"},
		{"comment", "# later\n", "p.yaml: holds nothing but comments"},
		{"UTF-16", "\xff\xfen\x00", "p.yaml: is in UTF-16; save it as UTF-8"},
		{"Latin 1", "name: x\nkind: r\xfcnd\n", "p.yaml:2:8: byte 0xfc is no text; save the file as UTF-8"},
		{"NUL", "name: \x00", "p.yaml:1:7: byte 0x00 is no text; save the file as UTF-8"},
		{"too long", "name: " + strings.Repeat("x", MaxBytes), "p.yaml: is over 64 kB, far more than a description takes; check that this is the right file"},
		{"too many lines", strings.Repeat("\n", MaxLines+1) + "n: 1", "p.yaml: has 5001 lines, far more than a description takes; check that this is the right file"},
		{"deep", "parts: " + strings.Repeat("[", 2000), "p.yaml:1:32: nests more than 24 deep"},
		{"deep dashes", strings.Repeat("- ", 2000), "p.yaml:1:49: nests more than 24 deep"},
		{"alias bomb", "a: &a [x, x]\nb: &b [*a, *a]\n", "p.yaml:1:4: anchors (&) have no place here; write the values out in full\np.yaml:2:4: anchors"},
		{"merge key", "<<: {n: 1}", "p.yaml:1:1: merge keys (<<) have no place here"},
		{"tag", "n: !!int 3", "p.yaml:1:4: tags (!) have no place here"},
		{"block of text", "n: 1\nname: |\n  x\n", "p.yaml:2:7: blocks of text (|) have no place here; write the values out in full"},
		{"folded block", "words:\n  - >-  # so\n    x\n", "p.yaml:2:5: blocks of text (>) have no place here"},
		{"two documents", "n: 1\n---\nn: 2\n", "p.yaml:3:1: a second document begins; keep one document a file"},
		{"open bracket", "n: 1\nwords: [1, 2\n", "p.yaml:2:8: no YAML: sequence end token ']' not found; check indentation"},
		{"tab", "parts:\n\t- id: A\n", "p.yaml:2:1: no YAML: found character '\t' that cannot start any token"},
		{"no spaces behind colons", "n:1", `p.yaml:1:1: document must be keys with values, not the text "n:1"; put a space behind each colon`},
		{"a list", "- n: 1", "p.yaml:1:1: document must be keys with values, not a list"},
		{"unknown key", "nmae: x", `p.yaml:1:1: unknown key "nmae"; did you mean name?`},
		{"key too far out", "size_m: 1", `p.yaml:1:1: unknown key "size_m"; it belongs under parts`},
		{"key twice", "n: 1\nn: 2", "p.yaml:2:1: key n stands twice; keep one of them (the other is on line 1)"},
		{"map key twice", "table: {x: 1, x: 2}", "p.yaml:1:15: key x stands twice"},
		{"missing key", "parts:\n  - size_m: 1", "p.yaml:2:5: key id is missing in parts"},
		{"null where a value must be", "parts: [{id: }]", "p.yaml:1:9: key id is missing in parts"},
		{"text for a number", "at: far", `p.yaml:1:5: at must be a number, not the text "far"; write a number like 12 or 0.25, without a unit`},
		{"decimal comma", "at: 0,25", `p.yaml:1:5: at must be a number, not the text "0,25"; write 0.25, with a point`},
		{"decimal comma in braces", "parts: [{id: A, size_m: 0,25}]", "p.yaml:1:25: size_m is 0; it must be over 0, at most 3\np.yaml:1:27: 25 stands alone behind a comma"},
		{"quoted number", `at: "3"`, `p.yaml:1:5: at must be a number, not the text "3"; take the quotes away`},
		{"hexadecimal", "at: 0x1F", "p.yaml:1:5: at must be a number, not 0x1F"},
		{"not a number", "at: .nan", "p.yaml:1:5: at must be a number, not .nan"},
		{"infinite", "at: -.inf", "p.yaml:1:5: at must be a number, not -.inf"},
		{"overflow", "at: 1e999", `p.yaml:1:5: at must be a number, not the text "1e999"`},
		{"over a limit", "at: 10", "p.yaml:1:5: at is 10; it must be at most 9"},
		{"under a limit", "n: 0", "p.yaml:1:4: n is 0; it must be at least 1"},
		{"at an open limit", "parts: [{id: A, size_m: 0}]", "p.yaml:1:25: size_m is 0; it must be over 0, at most 3"},
		{"fraction", "n: 1.5", "p.yaml:1:4: n is 1.5; it must be a whole number"},
		{"negative seed", "seed: -1", "p.yaml:1:7: seed is -1; it must be a whole number"},
		{"huge whole number", "seed: 99999999999999999999", "p.yaml:1:7: seed is 99999999999999999999; it must be a whole number"},
		{"yes", "on: yes", `p.yaml:1:5: on must be true or false, not the text "yes"; write true or false`},
		{"list for text", "name: [a]", "p.yaml:1:7: name must be one value, not a list"},
		{"text for a list", "words: a", `p.yaml:1:8: words must be a list, not the text "a"; write words: [...]`},
		{"hole in a list", "words: [a, ~]", "p.yaml:1:12: words has an empty place"},
		{"list for keys", "parts: [[1]]", "p.yaml:1:9: parts must be keys with values, not a list"},
		{"wrong kind", "kind: square", `p.yaml:1:7: kind: "square" is no kind; use round`},
		{"list for a kind", "kind: [round]", "p.yaml:1:7: kind must be a word, not a list"},
		{"bad item", "tags: [good, bad]", "p.yaml:1:14: a bad tag"},
		{"list in items", "tags: [good, [worse]]", "p.yaml:1:14: tags must be a list of values, and a list is none"},
		{"field without a key", "Skip: 1", `p.yaml:1:1: unknown key "Skip"`},
		{"all at once", "n: 0\nat: far\nnmae: x\n", "p.yaml:1:4: n is 0; it must be at least 1\np.yaml:2:5: at must be a number, not the text \"far\"; write a number like 12 or 0.25, without a unit\np.yaml:3:1: unknown key \"nmae\"; did you mean name?"},
	} {
		_, _, err := decode(c.text)
		var faults input.Faults
		if !errors.As(err, &faults) {
			t.Errorf("%s: got %v, want faults", c.name, err)
			continue
		}
		if !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s:\ngot  %v\nwant %s", c.name, err, c.want)
		}
	}
}

// Windows line ends and a byte order mark change neither values nor places.
func TestWindowsText(t *testing.T) {
	p, doc, err := decode("\ufeffname: ü\r\nwords:\r\n  - x\r\nn: 3\r\n")
	if err != nil || p.Name != "ü" || p.N != 3 || p.Words[0] != "x" {
		t.Fatalf("%+v, %v", p, err)
	}
	if at := doc.At("n"); at.Line != 4 || at.Col != 4 {
		t.Errorf("n stands at %v", at)
	}
}

func TestWantVersion(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"runproof: p/1\n", ""},
		{"n: 1\nrunproof: p/2\n", `p.yaml:2:11: the document is the text "p/2", not p/1; this program reads p/1`},
		{"runproof: [p/1]\n", "p.yaml:1:11: the document is a list, not p/1; this program reads p/1"},
		{"n: 1\n", "p.yaml: the document does not say what it is: key runproof is missing; begin with runproof: p/1"},
		{"p/1", `p.yaml:1:1: a description is made of keys with values, not the text "p/1"; begin with runproof: p/1, and put a space behind each colon`},
	} {
		doc, err := Parse(strings.NewReader(c.text), "p.yaml")
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if err := doc.WantVersion("p/1"); err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%q:\ngot  %s\nwant %s", c.text, got, c.want)
		}
	}
}

func TestHint(t *testing.T) {
	doc, err := Parse(strings.NewReader("parts: [{id: A, size_m: 25}, {id: B, size_m: 4 cm}]"), "p.yaml")
	if err != nil {
		t.Fatal(err)
	}
	doc.Hint = func(key, text string, lo, hi float64) string { return "hint for " + key + ", " + text }
	doc.Decode(new(paper))
	want := "p.yaml:1:25: size_m is 25; it must be over 0, at most 3; hint for size_m, 25\n" +
		"p.yaml:1:46: size_m must be a number, not the text \"4 cm\"; hint for size_m, 4 cm"
	if got := doc.Err().Error(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if doc.Sound("parts", 0, "size_m") || !doc.Sound("parts", 0, "id") {
		t.Error("Sound does not tell the number that was refused from the id that was read")
	}
}

func TestManyFaults(t *testing.T) {
	_, doc, err := decode(strings.Repeat("x: 1\n", 5000))
	var faults input.Faults
	if !errors.As(err, &faults) || len(faults) != maxFaults+1 || !doc.Full() {
		t.Fatalf("%d faults listed", len(faults))
	}
	if last := faults[maxFaults].Error(); last != "p.yaml:100:1: 4900 more faults follow; mend these first" {
		t.Error(last)
	}
}

func TestReaderError(t *testing.T) {
	broken := errors.New("the stick was pulled out")
	if _, err := Parse(iotest.ErrReader(broken), "p.yaml"); !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{
		"name: x\nparts: [{id: A, size_m: 1}]\n", "? a\n: b", "a: |\n  t\n", "%YAML 1.2\n---\n", "[[[{", "- - - x", "n: !!int 3",
		"a: &a [*a]", "words: ['x", "\"\\u00", "tags: [[a], {b: c}]\n", "on: !", "table:\n x: 1\n  y: 2\n", "\t", "a: - b", "{a: 1", "\r0",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		_, _, err := decode(text)
		var faults input.Faults
		if err == nil {
			return
		}
		if !errors.As(err, &faults) {
			t.Fatalf("error without a place: %v", err)
		}
		for _, f := range faults {
			if f.Place.File != "p.yaml" || f.What == "" || f.Place.Line < 0 || f.Place.Line > 1+strings.Count(text, "\n")+strings.Count(text, "\r") {
				t.Fatalf("fault without place or words: %+v", f)
			}
		}
	})
}
