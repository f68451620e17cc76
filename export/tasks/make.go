package tasks

import (
	"bytes"
	"fmt"
	"math"
	"time"

	"runproof/drill"
	"runproof/export"
	"runproof/flowlog/taskdata"
	"runproof/input"
	"runproof/measure"
)

// Input is what a set is made from.
type Input struct {
	Day      *export.Day
	Drill    *drill.Drill
	Field    string  // name of the field; "" is named after the day
	Client   Client  // NAME of the drill's controller; 0 is invented
	GridM    float64 // cells of so many metres instead of polygons; 0 for polygons
	FullRate bool    // the whole rate also where a part was sown
	Units    bool    // describe each row
}

// Set is a set of task data: TASKDATA.XML first, then the grids.
type Set struct {
	Files []File
	Tasks []Task
	Notes []string // what a person should know of the day and the drill together
}

// File is one file of a set.
type File struct {
	Name  string
	Bytes []byte
}

// Task is what one task is to do.
type Task struct {
	Product  drill.ProductID `json:"product"`
	Zones    int             `json:"zones"`
	Polygons int             `json:"polygons"`
	AreaM2   float64         `json:"area_m2"`
	Kg       float64         `json:"kg"` // what it takes

	SectionM float64 `json:"section_m"` // width of the product's narrowest section
	Narrow   int     `json:"narrow"`    // polygons narrower than that: they cannot be sown again without sowing beside them
}

// Make makes the set. The error is an input.Fault.
func Make(in Input) (Set, error) {
	if in.Client == 0 {
		in.Client = InventedClient(in.Drill.Name)
	}
	root := el("ISO11783_TaskData").num("VersionMajor", 4).num("VersionMinor", 3).with("ManagementSoftwareManufacturer", "Runproof").
		with("ManagementSoftwareVersion", "1").num("DataTransferOrigin", 1)
	dvc, bins := device(in.Drill, in.Client, in.Units)
	ids := map[drill.ProductID]string{}
	for i, p := range in.Drill.Products {
		ids[p.ID] = fmt.Sprintf("PDT-%d", i+1)
		root.add(el("PDT").with("A", ids[p.ID]).with("B", designator(productName(p))).with("D", "VPN-1").with("E", taskdata.SetMassPerArea.String()).num("F", 1))
	}
	root.add(el("VPN").with("A", "VPN-1").num("B", 0).with("C", "0.01").num("D", 1).with("E", "kg/ha"), in.field(), dvc)
	var set Set
	for _, p := range in.Drill.Products {
		if err := in.task(&set, root, p, ids[p.ID], bins[p.ID]); err != nil {
			return Set{}, err
		}
	}
	set.Files = append([]File{{"TASKDATA.XML", document(root)}}, set.Files...)
	set.Notes = in.notes(set)
	return set, nil
}

func document(root *element) []byte {
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n<!-- " + export.Safety + " -->\n")
	root.write(&b, 0)
	return b.Bytes()
}

func productName(p drill.Product) string {
	if p.Material == "" {
		return string(p.ID)
	}
	return string(p.ID) + ", " + p.Material
}

func (in Input) field() *element {
	name := in.Field
	if designator(name) == "" {
		name = "Field of the recording"
		if _, err := time.Parse(time.RFC3339Nano, in.Day.Summary.End); err == nil {
			name = "Field of " + in.Day.End().Format(time.DateOnly)
		}
	}
	return el("PFD").with("A", "PFD-1").with("C", designator(name)).num("D", int(math.Round(in.Day.Summary.WorkHa*1e4)))
}

// task adds the task of one product, where there is ground for it.
func (in Input) task(set *Set, root *element, p drill.Product, product, bin string) error {
	zones := zonesOf(in.Day, p.ID, in.FullRate)
	if len(zones) == 0 {
		return nil
	}
	if p.RateKgHa <= 0 {
		return input.Fault{What: fmt.Sprintf("product %s has no rate", p.ID), Remedy: fmt.Sprintf("write rate_kg_ha into the description of the drill, or add --rate %s=110 with its own rate", p.ID)}
	}
	n := len(set.Tasks) + 1
	tsk := el("TSK").with("A", fmt.Sprintf("TSK-%d", n)).with("B", designator("Sow "+string(p.ID)+" again")).with("E", "PFD-1").
		num("G", planned).num("H", 0).num("I", 0).num("J", 0)
	rate := func(v int) *element {
		return el("PDV").with("A", taskdata.SetMassPerArea.String()).num("B", v).with("C", product).said("D", bin).with("E", "VPN-1")
	}
	tsk.add(el("TZN").num("A", 0).with("B", "Nothing here").add(rate(0)))
	for _, z := range zones {
		tzn := el("TZN").num("A", z.code).with("B", z.name())
		if in.GridM == 0 {
			tzn.add(z.polygons()...)
		}
		tsk.add(tzn.add(rate(z.rate(p.RateKgHa))))
	}
	if in.GridM != 0 {
		g, err := gridOf(zones, in.GridM)
		if err != nil {
			return err
		}
		name := fmt.Sprintf("GRD%05d", n)
		tsk.add(g.element(name))
		set.Files = append(set.Files, File{name + ".BIN", g.codes})
	}
	root.add(tsk.add(
		el("DAN").with("A", in.Client.String()).with("C", "DVC-1"),
		el("PAN").with("A", product).said("E", bin),
		el("CAN").with("C", "Proposal: check before loading"),
	))
	set.Tasks = append(set.Tasks, in.sum(p, zones))
	return nil
}

// planned is the status of a task (TSK G).
const planned = 1

// sum is what the zones of a product come to.
func (in Input) sum(p drill.Product, zones []zone) Task {
	t := Task{Product: p.ID, Zones: len(zones), SectionM: narrowest(in.Drill, p.ID)}
	for _, z := range zones {
		area := z.ground.AreaM2()
		t.Polygons += len(z.ground)
		t.Narrow += z.narrower(t.SectionM)
		t.AreaM2 += area
		t.Kg += area / 1e4 * p.RateKgHa * float64(z.tenths) / 10
	}
	t.AreaM2, t.Kg = measure.Round(t.AreaM2, 2), measure.Round(t.Kg, 3)
	return t
}
