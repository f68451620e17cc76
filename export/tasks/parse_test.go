package tasks

import (
	"bytes"
	"encoding/xml"
	"os"
	"strconv"
	"testing"

	"runproof/drill"
	"runproof/export"
)

// node is an element as the tests read it, with encoding/xml and nothing of the
// writer.
type node struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Nodes   []node     `xml:",any"`
}

func (n node) at(name string) string {
	for _, a := range n.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func (n node) num(t testing.TB, name string) int {
	t.Helper()
	v, err := strconv.Atoi(n.at(name))
	if err != nil {
		t.Fatalf("%s %s: %v", n.XMLName.Local, name, err)
	}
	return v
}

func (n node) all(tag string) (found []node) {
	for _, c := range n.Nodes {
		if c.XMLName.Local == tag {
			found = append(found, c)
		}
	}
	return found
}

// parsed is the set's TASKDATA.XML.
func parsed(t testing.TB, s Set) node {
	t.Helper()
	if s.Files[0].Name != "TASKDATA.XML" {
		t.Fatalf("first file is %s", s.Files[0].Name)
	}
	var root node
	if err := xml.NewDecoder(bytes.NewReader(s.Files[0].Bytes)).Decode(&root); err != nil {
		t.Fatal(err)
	}
	return root
}

// demoInput is the demo's day and drill.
func demoInput(t testing.TB) Input {
	t.Helper()
	day, err := export.Read(os.DirFS("../testdata/demo"), "demo")
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open("../../demo/drill.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	d, err := drill.Read(f, "drill.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return Input{Day: day, Drill: d}
}

func made(t testing.TB, in Input) Set {
	t.Helper()
	s, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// elementNode is a DET with its properties, by DDI.
type elementNode struct {
	id, name, parent string
	kind, number     int
	values           map[string]*int // nil where it is process data
}

// elements are the device's, by what their DORs refer to.
func elements(t testing.TB, root node) []elementNode {
	t.Helper()
	dvc := root.all("DVC")[0]
	objects, names := map[string]node{}, map[string]string{"0": ""}
	for _, tag := range []string{"DPT", "DPD"} {
		for _, n := range dvc.all(tag) {
			objects[n.at("A")] = n
		}
	}
	for _, n := range dvc.all("DET") {
		names[n.at("B")] = n.at("A")
	}
	var out []elementNode
	for _, n := range dvc.all("DET") {
		e := elementNode{n.at("A"), n.at("D"), names[n.at("F")], n.num(t, "C"), n.num(t, "E"), map[string]*int{}}
		for _, r := range n.all("DOR") {
			o, ok := objects[r.at("A")]
			if !ok {
				t.Fatalf("%s refers to object %s, which is not there", e.id, r.at("A"))
			}
			e.values[o.at("B")] = nil
			if o.XMLName.Local == "DPT" {
				v := o.num(t, "C")
				e.values[o.at("B")] = &v
			}
		}
		out = append(out, e)
	}
	return out
}
