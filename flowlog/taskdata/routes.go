package taskdata

import (
	"fmt"

	"runproof/drill"
	"runproof/flowlog"
)

// none marks what goes nowhere.
const none = -1

// routes is where the values of one log go: to which columns, and what they say
// of speed, work and sections.
type routes struct {
	column   []int // of each value, by its place
	position [posFields]int
	speed    int       // place of the speed, or none
	work     []int     // places that tell the work state
	sections [][]child // of each place, by place
	workAt   int       // the columns
	speedAt  int
	secNow   []float64 // last state of the section in each of secAt
	secAt    []int
	workNow  []uint32 // last raw value at each place of work
	seen     []bool   // whether it has come yet
	speedNow float64
}

// child is a section that a value tells of, in bits from shift on.
type child struct{ slot, shift int }

// columns collects the columns of all logs.
type columns struct {
	list  []flowlog.Column
	keep  func(flowlog.Column) bool
	taken map[string]int // index in list, or none, of every name asked for
}

// add gives the index of the column, or none when nobody wants it.
func (c *columns) add(col flowlog.Column) int {
	if i, known := c.taken[col.Name]; known {
		return i
	}
	i := none
	if c.keep == nil || c.keep(col) {
		i = len(c.list)
		c.list = append(c.list, col)
	}
	c.taken[col.Name] = i
	return i
}

// plan finds where the values of a log go.
func (set *Set) plan(s *stream, c *columns) {
	h := s.head
	to := routes{speed: none, workAt: none, speedAt: none, speedNow: nan}
	to.placePosition(h, c)
	to.sections = make([][]child, len(h.values))
	to.work = set.workPlaces(h)
	to.workNow, to.seen = make([]uint32, len(to.work)), make([]bool, len(to.work))
	for i, v := range h.values {
		if v.ddi == ActualSpeed && to.speed == none {
			to.speed = i
			to.speedAt = c.add(flowlog.ColumnNamed("speed"))
		}
	}
	if len(to.work) > 0 {
		to.workAt = c.add(flowlog.ColumnNamed("work"))
	}
	for i, v := range h.values {
		set.sectionsOf(&to, i, v, c)
	}
	for i, name := range h.names() {
		to.column = append(to.column, none)
		if v := h.values[i]; v.stored || v.isFixed {
			to.column[i] = c.add(flowlog.Column{Name: name})
		}
	}
	s.to = to
}

func (to *routes) placePosition(h *head, c *columns) {
	for f := range to.position {
		to.position[f] = none
	}
	for f := range posFields {
		stored := false
		for _, p := range h.position {
			stored = stored || p == f
		}
		if name := posLayout[f].name; name != "" && (stored || h.fixed[f] == h.fixed[f]) {
			to.position[f] = c.add(flowlog.ColumnNamed(name))
		}
	}
}

// names are the columns' names. Where a pair of identifier and element comes
// more than once, each carries its place behind it.
func (h *head) names() []string {
	count := map[string]int{}
	for _, v := range h.values {
		count[v.name()]++
	}
	names := make([]string, len(h.values))
	for i, v := range h.values {
		names[i] = v.name()
		if count[names[i]] > 1 {
			names[i] = fmt.Sprintf("%s#%d", names[i], i)
		}
	}
	return names
}

// element finds the element of that id, or nil where nobody describes it.
func (set *Set) element(id string) (*Device, *Element) {
	for i := range set.Devices {
		d := &set.Devices[i]
		for j := range d.Elements {
			if d.Elements[j].ID == id {
				return d, &d.Elements[j]
			}
		}
	}
	return nil, nil
}

// workPlaces are the places that tell whether the machine works: the work
// states of the device or its functions, else those of its parts, else the
// condensed ones.
func (set *Set) workPlaces(h *head) []int {
	var whole, parts, condensed []int
	for i, v := range h.values {
		_, isCondensed := v.ddi.condensed()
		switch {
		case isCondensed:
			condensed = append(condensed, i)
		case v.ddi != WorkState:
		default:
			if _, e := set.element(v.element); e != nil && (e.Type == SectionElement || e.Type == UnitElement || e.Type == BinElement) {
				parts = append(parts, i)
			} else {
				whole = append(whole, i)
			}
		}
	}
	for _, places := range [][]int{whole, parts} {
		if len(places) > 0 {
			return places
		}
	}
	return condensed
}

// sectionsOf notes which sections the value at a place tells of.
func (set *Set) sectionsOf(to *routes, place int, v processValue, c *columns) {
	d, e := set.element(v.element)
	if e == nil {
		return
	}
	if v.ddi == WorkState && (e.Type == SectionElement || e.Type == UnitElement) {
		to.section(place, e.ID, 0, c)
	}
	if first, ok := v.ddi.condensed(); ok {
		all := d.Sections(e)
		for i := first; i < min(first+16, len(all)); i++ {
			to.section(place, all[i].ID, 2*(i-first), c)
		}
	}
}

func (to *routes) section(place int, id string, shift int, c *columns) {
	at := c.add(flowlog.SectionColumn(drill.SectionID(id)))
	slot := len(to.secAt)
	for i, known := range to.secAt {
		if known == at && at != none {
			slot = i
		}
	}
	if slot == len(to.secAt) {
		to.secAt, to.secNow = append(to.secAt, at), append(to.secNow, nan)
	}
	to.sections[place] = append(to.sections[place], child{slot, shift})
}
