package dossier

import (
	"cmp"
	"fmt"
	"slices"

	"runproof/drawing"
)

// parts lists what the fit takes, counted from the fit itself.
func (b *book) parts() {
	b.NewPage()
	b.Title("Parts of this fit")
	b.Paragraph("Counted from the plan; spares, harness and fixings come on top.")
	t := drawing.Table{Columns: []drawing.Column{{Title: "part", Bold: true}, {Title: "number", Align: drawing.Right}, {Title: "where"}, {Title: "picked"}}}
	for _, p := range b.partCounts() {
		t.Rows = append(t.Rows, drawing.Cells(p.name, fmt.Sprint(p.n), p.where, "☐"))
	}
	b.Table(t)
	b.tubeTable()
}

type partCount struct {
	name  string
	n     int
	where string
}

func (b *book) partCounts() []partCount {
	var out []partCount
	for _, n := range b.f.Nodes {
		i := slices.IndexFunc(out, func(p partCount) bool { return p.name == "node, "+n.Part })
		if i < 0 {
			out = append(out, partCount{name: "node, " + n.Part, where: fmt.Sprintf("%d ports, one at each place on the plan", n.Ports)})
			i = len(out) - 1
		}
		out[i].n++
	}
	slices.SortFunc(out, func(a, b partCount) int { return cmp.Compare(a.name, b.name) })
	_, free := b.ports()
	byBore := map[float64]int{}
	for _, l := range b.f.Map {
		h, _ := b.d.Head(b.runs[l.Run].Head)
		byBore[h.HoseMM]++
	}
	for _, mm := range sortedKeys(byBore) {
		name := "sensor in the run"
		if mm > 0 {
			name += ", hose of " + b.units.bore(mm/1000)
		}
		out = append(out, partCount{name, byBore[mm], b.units.length(b.d.Sensing.SensorFromHeadM) + " of hose from the head"})
	}
	if free > 0 {
		out = append(out, partCount{"cap", free, "on every port without a run"})
	}
	return out
}

// tubeTable groups the tubes by length.
func (b *book) tubeTable() {
	if len(b.f.Map) == 0 {
		return
	}
	b.Heading("Tubes or leads from sensor to port")
	count := map[float64]int{}
	for _, l := range b.f.Map {
		count[roundCM(l.TubeM)]++
	}
	t := drawing.Table{Columns: []drawing.Column{{Title: "length", Align: drawing.Right}, {Title: "number", Align: drawing.Right}, {Title: "together", Align: drawing.Right}, {Title: "cut"}}}
	for _, m := range sortedKeys(count) {
		t.Rows = append(t.Rows, drawing.Cells(b.units.length(m), fmt.Sprint(count[m]), b.units.length(m*float64(count[m])), "☐"))
	}
	b.Table(t)
	b.Paragraph("In all " + b.units.length(b.tubeM()) + ", as the frame runs; add what bends, clips and a service loop take.")
}
