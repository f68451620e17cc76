package yard

import (
	"fmt"
	"slices"
	"strings"

	"runproof/drawing"
	"runproof/fit"
	"runproof/input"
)

// label is one label: what tells it from others, what it is about, and its code.
type label struct {
	key    string   // read at 1 m
	second string   // next in size; may be empty
	ends   bool     // the first of the small lines says for which end it is
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
			out = append(out, j.runLabel(l, "sensor end"), j.runLabel(l, "port end"))
		}
	}
	for _, p := range j.f.Harness.Places {
		if p.Kind == fit.JunctionPlace {
			out = append(out, j.junctionLabel(p))
		}
	}
	for _, l := range j.f.Harness.Legs {
		out = append(out, j.legLabel(l, l.From, l.To), j.legLabel(l, l.To, l.From))
	}
	if w := j.f.WorkSwitch; w.On != "" {
		out = append(out, j.switchLabel("switch end"), j.switchLabel("node end"))
	}
	return out
}

func (j *job) nodeLabel(n node) label {
	runs := "runs of " + listing(j.headsOf(n), text)
	if len(n.Links) == 0 {
		runs = "no runs"
	}
	return label{
		key: n.Serial, second: n.Name,
		lines: []string{fmt.Sprintf("node at head %s", n.Head), one(n.Ports, "port") + ", " + runs, j.name},
		code:  Code{Job: j.name, Node: n.Serial},
	}
}

func (j *job) runLabel(l fit.Link, end string) label {
	r := j.runs[l.Run]
	product := string(r.Product)
	if r.Closed {
		product += ", closed"
	}
	return label{
		key: string(l.Run), second: l.Ref().String(),
		ends:  true,
		lines: []string{end, fmt.Sprintf("head %s · outlet %d · row %d", r.Head, r.Outlet, r.Row), product + " · " + j.name},
		code:  Code{Job: j.name, Node: l.Node, Port: l.Port, Run: l.Run},
	}
}

func (j *job) legLabel(l fit.Leg, here, there string) label {
	return label{
		key: l.ID, second: shortPlace(j, here) + " end",
		lines: []string{"here: " + j.shortly(here), "other end: " + j.shortly(there), j.units.length(l.LengthM) + " · " + j.name},
		code:  Code{Job: j.name, Leg: l.ID, End: here},
	}
}

// shortPlace is a place's name as it stands on the drill.
func shortPlace(j *job, id string) string {
	if j.kindOf(id) == fit.SupplyPlace {
		return "power point"
	}
	return id
}

// shortly is a place with its head, in the room of a label.
func (j *job) shortly(id string) string {
	if n, ok := j.node(id); ok {
		return fmt.Sprintf("%s, head %s", n.Serial, n.Head)
	}
	return shortPlace(j, id)
}

func (j *job) junctionLabel(p fit.Place) label {
	var ways []string
	for _, l := range j.legsAt(p.ID) {
		ways = append(ways, l.ID)
	}
	if slices.Contains(j.busEnds(), p.ID) {
		ways = append(ways, "terminator")
	}
	return label{
		key: p.ID, second: "junction",
		lines: []string{strings.Join(ways, ", "), "tied " + j.tiedTo(p), j.name},
		code:  Code{Job: j.name, End: p.ID},
	}
}

func (j *job) switchLabel(end string) label {
	w := j.f.WorkSwitch
	return label{
		key: "switch", second: "node " + w.Node, ends: true,
		lines: []string{end, "lead of the work-state switch", j.name},
		code:  Code{Job: j.name, Node: w.Node, End: "switch"},
	}
}

// labelSheet is how the labels lie: as asked for, or as usual for the paper.
func (j *job) labelSheet() LabelSheet {
	if j.in.Labels.each() == 0 {
		return usualLabels(j.in.Paper)
	}
	return j.in.Labels
}

// labelBook lays the labels on their sheets.
func (j *job) labelBook() (*drawing.Book, error) {
	sheet := j.labelSheet()
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
		j.labelHead(s, sheet, i+1, len(b.Sheets))
		s.Title = fmt.Sprintf("Labels, sheet %d of %d, %s", i+1, len(b.Sheets), j.name)
	}
	return b, nil
}

// labelHead says above the labels what the sheet is, where their margin leaves
// room; it does not say so on a roll.
func (j *job) labelHead(s *drawing.Sheet, l LabelSheet, number, of int) {
	const roomMM = 9.5
	if l.each() == 1 || l.TopMM < roomMM {
		return
	}
	st := drawing.TextStyle{SizePT: 8, Ink: drawing.Soft}
	text := fmt.Sprintf("Labels · %s · fit revision %d · %s · sheet %d of %d · %s mm, %d × %d: print at 100 %%, not “fit to page”", j.name, j.f.Revision, j.hash, number, of, l.Name, l.Cols, l.Rows)
	if strings.HasSuffix(l.Name, "in") {
		text = strings.Replace(text, " mm, ", ", ", 1)
	}
	s.Text(drawing.Point{X: edgeMM + 3, Y: edgeMM + 3}, st.Fit(text, s.Size.WMM-2*edgeMM-6), st)
}
