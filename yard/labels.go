package yard

import (
	"fmt"

	"runproof/drawing"
	"runproof/fit"
	"runproof/input"
)

// label is one label: what tells it from others, what it is about, and its code.
type label struct {
	key    string   // read at 1 m
	second string   // next in size; may be empty
	lines  []string // small
	code   Code
}

// labels are all labels in the order in which they are used at the bench: each
// node, its runs by port with one label for either end, then the legs of the harness.
func (j *job) labels() []label {
	var out []label
	for _, n := range j.nodes {
		out = append(out, j.nodeLabel(n))
		for _, l := range n.Links {
			out = append(out, j.runLabel(l, "at the sensor"), j.runLabel(l, "at the port"))
		}
	}
	for _, l := range j.f.Harness.Legs {
		out = append(out, j.legLabel(l, l.From, l.To), j.legLabel(l, l.To, l.From))
	}
	return out
}

func (j *job) nodeLabel(n node) label {
	listens := "no runs"
	if len(n.Links) > 0 {
		listens = "heads " + listing(j.headsOf(n), text)
		if len(j.headsOf(n)) == 1 {
			listens = "head " + string(j.headsOf(n)[0])
		}
	}
	return label{
		key: n.Serial, second: n.Name,
		lines: []string{fmt.Sprintf("node at head %s", n.Head), fmt.Sprintf("%s, listens to %s", one(n.Ports, "port"), listens), j.name},
		code:  Code{Job: j.name, Node: n.Serial},
	}
}

func (j *job) runLabel(l fit.Link, end string) label {
	r := j.runs[l.Run]
	return label{
		key: string(l.Run), second: l.Ref().String(),
		lines: []string{fmt.Sprintf("head %s · outlet %d · row %d", r.Head, r.Outlet, r.Row), string(r.Product) + " · " + end, j.name},
		code:  Code{Job: j.name, Node: l.Node, Port: l.Port, Run: l.Run},
	}
}

func (j *job) legLabel(l fit.Leg, here, there string) label {
	return label{
		key: l.ID, second: shortPlace(j, here) + " end",
		lines: []string{"this end: " + j.place(here), "other end: " + j.place(there), j.units.length(l.LengthM) + " · " + j.name},
		code:  Code{Job: j.name, Leg: l.ID, End: here},
	}
}

// shortPlace is a place's name as it stands on the drill.
func shortPlace(j *job, id string) string {
	if j.kindOf(id) == fit.SupplyPlace {
		return "power"
	}
	return id
}

// labelBook lays the labels on their sheets.
func (j *job) labelBook() (*drawing.Book, error) {
	sheet := j.in.Labels
	if sheet.each() == 0 {
		sheet = usualLabels(j.in.Paper)
	}
	if j.in.Skip < 0 || j.in.Skip >= sheet.each() && j.in.Skip > 0 {
		return nil, input.Fault{What: fmt.Sprintf("%d labels cannot be skipped on a sheet of %d", j.in.Skip, sheet.each()), Remedy: fmt.Sprintf("skip 0 to %d", sheet.each()-1)}
	}
	b := &drawing.Book{Info: drawing.Info{Title: "Labels: " + j.drillName(), Subject: "Labels of hoses, nodes and harness", Author: "Runproof"}}
	all := j.labels()
	var made codes
	for i, l := range all {
		at := (i + j.in.Skip) % sheet.each()
		if i == 0 || at == 0 {
			b.Sheets = append(b.Sheets, drawing.NewSheet(sheet.Paper))
		}
		if err := sheet.draw(b.Sheets[len(b.Sheets)-1], sheet.place(at), l, &made); err != nil {
			return nil, err
		}
	}
	if len(all) == 0 {
		b.Sheets = append(b.Sheets, drawing.NewSheet(sheet.Paper))
	}
	for i, s := range b.Sheets {
		s.Title = fmt.Sprintf("Labels, sheet %d of %d, %s", i+1, len(b.Sheets), j.name)
	}
	return b, nil
}
