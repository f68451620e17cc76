package season

import (
	"io"
	"slices"
	"time"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/input/yamldoc"
)

// RepairsVersion is the version of repairs.yaml.
const RepairsVersion = "repairs/1"

// Repairs are what a person noted of repairs, a file:
//
//	runproof: repairs/1
//	repairs:
//	  - {run: C-7, date: 2026-05-14, what: new boot}
//	  - {head: B, date: 2026-05-20T12:30:00Z, what: primary hose turned}
//	  - {node: "4103", date: 2026-05-22, what: plug dried}
type Repairs struct {
	Runproof string   `json:"runproof" jsonschema:"required"` // RepairsVersion
	Repairs  []Repair `json:"repairs" jsonschema:"required"`  // in any order
}

// Repair is one repair: of a run, a head or a node.
type Repair struct {
	Run  drill.RunID  `json:"run,omitempty"`              // id of the run, such as C-7; one of run, head and node says where
	Head drill.HeadID `json:"head,omitempty"`             // id of the head
	Node string       `json:"node,omitempty"`             // serial of the node
	Date string       `json:"date" jsonschema:"required"` // 2026-05-14 (a day of UTC, as the logs' time), or 2026-05-14T12:30:00Z
	What string       `json:"what"`                       // what was done

	fromNS, toNS int64
}

// ReadRepairs reads repairs for a fit; name is the file's name for messages.
// The error is input.Faults with every fault of the file.
func ReadRepairs(r io.Reader, name string, f *fit.Fit) ([]Repair, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return nil, err
	}
	if err := doc.WantVersion(RepairsVersion); err != nil {
		return nil, err
	}
	var rs Repairs
	doc.Decode(&rs)
	c := repairCheck{doc: doc}
	_, _, c.heads, c.runs, c.nodes = places(f)
	for i := range rs.Repairs {
		c.where(&rs.Repairs[i], i)
		c.when(&rs.Repairs[i], i)
	}
	return rs.Repairs, doc.Err()
}

type repairCheck struct {
	doc                *yamldoc.Document
	heads, runs, nodes []Place
}

// where wants one place, and one that the fit has.
func (c repairCheck) where(r *Repair, i int) {
	named := 0
	for _, k := range []struct {
		key, text string
		known     []Place
		name      func(Place) string
	}{
		{"run", string(r.Run), c.runs, func(p Place) string { return string(p.Run) }},
		{"head", string(r.Head), c.heads, func(p Place) string { return string(p.Head) }},
		{"node", r.Node, c.nodes, func(p Place) string { return p.Node }},
	} {
		if k.text == "" {
			continue
		}
		named++
		var names []string
		for _, p := range k.known {
			names = append(names, k.name(p))
		}
		if !slices.Contains(names, k.text) && c.doc.Sound("repairs", i, k.key) {
			c.doc.Fault(c.doc.At("repairs", i, k.key), input.DidYouMean(k.text, names), "the fit has no sensed %s %q", k.key, k.text)
		}
	}
	if named != 1 {
		c.doc.Fault(c.doc.At("repairs", i), "name one of run, head and node", "a repair is of one place, and this one names %d", named)
	}
}

func (c repairCheck) when(r *Repair, i int) {
	if r.Date == "" || !c.doc.Sound("repairs", i, "date") {
		return // told already
	}
	if !r.place() {
		c.doc.Fault(c.doc.At("repairs", i, "date"), "write 2026-05-14, or 2026-05-14T12:30:00Z", "%q is no date", r.Date)
	}
}

// place finds the time of the repair: a whole day of UTC, or a moment.
func (r *Repair) place() bool {
	if t, err := time.Parse(time.DateOnly, r.Date); err == nil {
		r.fromNS, r.toNS = t.UnixNano(), t.AddDate(0, 0, 1).UnixNano()
		return true
	}
	t, err := time.Parse(time.RFC3339, r.Date)
	if err != nil {
		return false
	}
	r.fromNS, r.toNS = t.UnixNano(), t.UnixNano()
	return true
}

// same says whether two repairs are of one place.
func (r *Repair) same(o *Repair) bool {
	return r.Run == o.Run && r.Head == o.Head && r.Node == o.Node
}

// level is what was repaired.
func (r *Repair) level() Level {
	switch {
	case r.Run != "":
		return OfRun
	case r.Head != "":
		return OfHead
	}
	return OfNode
}

// is says whether the place is the one that was repaired.
func (r *Repair) is(p Place) bool {
	switch r.level() {
	case OfRun:
		return p.Of == OfRun && p.Run == r.Run
	case OfHead:
		return p.Of == OfHead && p.Head == r.Head
	}
	return p.Of == OfNode && p.Node == r.Node
}
