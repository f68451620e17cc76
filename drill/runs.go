package drill

import "slices"

// Runs returns every run of the drill, head by head in the order described,
// outlet 1 first.
func (d *Drill) Runs() []Run {
	closed := make(map[RunID]bool, len(d.Closed))
	for _, id := range d.Closed {
		closed[id] = true
	}
	var runs []Run
	for _, h := range d.Heads {
		sensed := slices.Contains(d.Sensing.Products, h.Product)
		for i, row := range h.Rows {
			id := NewRunID(h.ID, i+1)
			runs = append(runs, Run{
				ID: id, Head: h.ID, Outlet: i + 1, Row: row,
				Product: h.Product, Closed: closed[id], Sensed: sensed,
			})
		}
	}
	return runs
}

// Head returns the head with that id, and whether there is one.
func (d *Drill) Head(id HeadID) (Head, bool) {
	for _, h := range d.Heads {
		if h.ID == id {
			return h, true
		}
	}
	return Head{}, false
}

// Product returns the product with that id, and whether there is one.
func (d *Drill) Product(id ProductID) (Product, bool) {
	for _, p := range d.Products {
		if p.ID == id {
			return p, true
		}
	}
	return Product{}, false
}

// SectionRuns returns the runs of the section: those named and those of the
// heads named, in the order of Runs, each once.
func (d *Drill) SectionRuns(s Section) []RunID {
	var ids []RunID
	for _, r := range d.Runs() {
		if slices.Contains(s.Heads, r.Head) || slices.Contains(s.Runs, r.ID) {
			ids = append(ids, r.ID)
		}
	}
	return ids
}
