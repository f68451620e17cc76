package tasks

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math"
	"slices"

	"runproof/drill"
	"runproof/flowlog/taskdata"
)

// description is a device in the making: its objects share one row of numbers.
type description struct {
	d        *drill.Drill
	units    bool
	elements []*element // DET
	objects  []*element // DPT, DPD
	object   int
	bins     map[drill.ProductID]string // element that meters a product
}

// Presentations, by the numbers of their objects.
const (
	shownAsM    = 1
	shownAsRate = 2
	firstObject = 10
)

// Properties and triggers of process data (DPD C and D).
const (
	settable  = 2
	onTime    = 1
	onChange  = 8
	byDefault = 1
)

// device describes the drill as a DVC.
func device(d *drill.Drill, client Client, units bool) (dvc *element, bins map[drill.ProductID]string) {
	x := &description{d: d, units: units, object: firstObject, bins: map[drill.ProductID]string{}}
	root := x.element(taskdata.DeviceElement, nameOr(d.Name, "Drill"), nil)
	x.data(root, taskdata.DefaultSet, byDefault, 31, "Default data", 0)
	x.connector(root)
	for _, p := range d.Products {
		if d.OpenRuns(p.ID) > 0 {
			x.function(root, p)
		}
	}
	body := append(append(x.elements, x.objects...),
		el("DVP").num("A", shownAsM).num("B", 0).with("C", "0.001").num("D", 3).with("E", "m"),
		el("DVP").num("A", shownAsRate).num("B", 0).with("C", "0.01").num("D", 1).with("E", "kg/ha"),
	)
	dvc = el("DVC").with("A", "DVC-1").with("B", designator(nameOr(d.Name, "Drill"))).with("C", "1").with("D", client.String()).
		with("F", structureLabel(body)).with("G", "FF000000006E65") // texts in English, all the rest the form's first choice
	return dvc.add(body...), x.bins
}

func nameOr(name, otherwise string) string {
	if designator(name) == "" {
		return otherwise
	}
	return name
}

// structureLabel changes when anything that is described changes, so that a
// terminal does not mix up two states of one drill. No byte of it is FF (schema
// V4.3: FF stands for unused).
func structureLabel(body []*element) string {
	var b bytes.Buffer
	for _, e := range body {
		e.write(&b, 0)
	}
	sum := sha256.Sum256(b.Bytes())
	for i, b := range sum {
		sum[i] = min(b, 0xfe)
	}
	return fmt.Sprintf("%X", sum[:7])
}

// element adds a DET under its parent.
func (x *description) element(t taskdata.ElementType, name string, parent *element) *element {
	x.object++
	under := 0
	if parent != nil {
		under = objectOf(parent)
	}
	n := len(x.elements)
	e := el("DET").with("A", fmt.Sprintf("DET-%d", n+1)).num("B", x.object).num("C", int(t)).with("D", designator(name)).num("E", n).num("F", under)
	x.elements = append(x.elements, e)
	return e
}

func objectOf(e *element) int {
	at := slices.IndexFunc(e.attr, func(a attribute) bool { return a.name == "B" })
	n := 0
	fmt.Sscan(e.attr[at].value, &n)
	return n
}

// property adds a DPT to an element; shown is a presentation, 0 for none.
func (x *description) property(e *element, ddi taskdata.DDI, value int, name string, shown int) {
	x.refer(e, el("DPT").num("A", x.object+1).with("B", ddi.String()).num("C", value).with("D", name), shown)
}

// data adds a DPD to an element.
func (x *description) data(e *element, ddi taskdata.DDI, kind, triggers int, name string, shown int) {
	x.refer(e, el("DPD").num("A", x.object+1).with("B", ddi.String()).num("C", kind).num("D", triggers).with("E", name), shown)
}

func (x *description) refer(e, object *element, shown int) {
	x.object++
	e.add(el("DOR").num("A", x.object))
	if shown > 0 {
		last := map[string]string{"DPT": "E", "DPD": "F"}[object.tag]
		object.num(last, shown)
	}
	x.objects = append(x.objects, object)
}

// place adds the offsets of an element: z is down.
func (x *description) place(e *element, at drill.Point) {
	x.property(e, taskdata.OffsetX, millimetres(at.Forward), "Offset x", shownAsM)
	x.property(e, taskdata.OffsetY, millimetres(at.Right), "Offset y", shownAsM)
	x.property(e, taskdata.OffsetZ, millimetres(-at.Up), "Offset z", shownAsM)
}

func millimetres(m float64) int { return int(math.Round(m * 1000)) }
