package tasks

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// What an independent reader found, npm isoxml 1.11.2 (testdata/README.md):
// no warning, the same elements with the same offsets and widths, the same zones
// with the same rates. Its areas are spherical with the radius 6378137 m: at 52
// degrees of latitude up to 0.5 % off those of the ellipsoid.
func TestIsoxml(t *testing.T) {
	var want struct {
		Warnings []string
		Products []struct{ ID, Name string }
		Elements []struct {
			ID, Name, Parent string
			Type, Number     int
			Values           map[string]*int
		}
		Tasks []struct {
			ID, Name string
			Status   int
			Codes    []int
			Zones    []struct {
				Code, Rate, Polygons  int
				DDI, Product, Element string
				M2                    float64
			}
		}
		Device struct{ Name, Client, Structure, Localisation string }
	}
	text, err := os.ReadFile("testdata/isoxml.json")
	if err == nil {
		err = json.Unmarshal(text, &want)
	}
	if err != nil {
		t.Fatal(err)
	}
	if len(want.Warnings) > 0 {
		t.Errorf("it warned: %q", want.Warnings)
	}
	in := demoInput(t)
	set := made(t, in)
	root := parsed(t, set)
	for i, p := range root.all("PDT") {
		if w := want.Products[i]; p.at("A") != w.ID || p.at("B") != w.Name {
			t.Errorf("product %v, want %v", p.Attrs, w)
		}
	}
	dvc := root.all("DVC")[0]
	if w := want.Device; dvc.at("B") != w.Name || dvc.at("D") != w.Client || dvc.at("F") != w.Structure || dvc.at("G") != w.Localisation {
		t.Errorf("device %v, want %v", dvc.Attrs, w)
	}
	got := elements(t, root)
	if len(got) != len(want.Elements) {
		t.Fatalf("%d elements, want %d", len(got), len(want.Elements))
	}
	for i, e := range got {
		w := want.Elements[i]
		if e.id != w.ID || e.name != w.Name || e.parent != w.Parent || e.kind != w.Type || e.number != w.Number || len(e.values) != len(w.Values) {
			t.Errorf("element %+v, want %+v", e, w)
		}
		for ddi, v := range w.Values {
			if have, ok := e.values[ddi]; !ok || (have == nil) != (v == nil) || v != nil && *have != *v {
				t.Errorf("%s: DDI %s is %v, want %v", e.id, ddi, have, v)
			}
		}
	}
	tasks := root.all("TSK")
	if len(tasks) != len(want.Tasks) {
		t.Fatalf("%d tasks, want %d", len(tasks), len(want.Tasks))
	}
	for i, task := range tasks {
		w := want.Tasks[i]
		if task.at("A") != w.ID || task.at("B") != w.Name || task.num(t, "G") != w.Status || task.num(t, "H") != w.Codes[0] || task.num(t, "I") != w.Codes[1] || task.num(t, "J") != w.Codes[2] {
			t.Errorf("task %v, want %v", task.Attrs, w)
		}
		ours := zonesOf(in.Day, in.Drill.Products[i].ID, false)
		for k, z := range task.all("TZN") {
			wz := w.Zones[k]
			pdv := z.all("PDV")[0]
			if z.num(t, "A") != wz.Code || pdv.num(t, "B") != wz.Rate || pdv.at("A") != wz.DDI || pdv.at("C") != wz.Product || pdv.at("D") != wz.Element || len(z.all("PLN")) != wz.Polygons {
				t.Errorf("zone %v, want %v", z.Attrs, wz)
			}
			if k == 0 {
				continue
			}
			if a := ours[k-1].ground.AreaM2(); math.Abs(a-wz.M2) > 0.005*a {
				t.Errorf("zone %d: %.2f m2, isoxml %.2f", wz.Code, a, wz.M2)
			}
		}
	}
}
