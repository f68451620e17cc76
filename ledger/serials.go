package ledger

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"runproof/drill"
)

// Move is what one entry says of one serial number.
type Move struct {
	Serial string       `json:"serial"`
	Entry  ID           `json:"entry"`
	At     time.Time    `json:"at"`
	Job    ID           `json:"job"`
	On     bool         `json:"on"`             // put on the drill; else taken off
	Place  drill.HeadID `json:"place"`          // head, or run of a sensor; where it was taken off, empty
	Fate   Fate         `json:"fate"`           // of what was taken off
	Late   bool         `json:"late,omitempty"` // taken off by a fit that lacks it: says nothing where it had left already
}

// Moves are what an entry says of serial numbers, those taken off first.
func (e Entry) Moves() []Move {
	var out []Move
	move := func(serial string) Move { return Move{Serial: serial, Entry: e.ID, At: e.At, Job: e.Job} }
	switch {
	case e.Revision != nil:
		for _, s := range e.Revision.Left {
			m := move(s)
			m.Late = true
			out = append(out, m)
		}
		for _, p := range e.Revision.Placed {
			m := move(p.Serial)
			m.On, m.Place = true, p.Head
			out = append(out, m)
		}
	case e.Exchange != nil:
		if e.Exchange.Out != "" {
			m := move(e.Exchange.Out)
			m.Fate = e.Exchange.Fate
			out = append(out, m)
		}
		if e.Exchange.In != "" {
			m := move(e.Exchange.In)
			m.On, m.Place = true, drill.HeadID(e.Exchange.Place)
			out = append(out, m)
		}
	}
	return out
}

// Compare orders moves by when they happened, then by entry; of one entry, what
// was taken off comes first.
func (m Move) Compare(o Move) int {
	return cmp.Or(m.At.Compare(o.At), cmp.Compare(m.Entry, o.Entry), cmp.Compare(on(m), on(o)), cmp.Compare(m.Serial, o.Serial))
}

func on(m Move) int {
	if m.On {
		return 1
	}
	return 0
}

// Stay is where a serial number was from one move to the next. A zero Until is
// still so.
type Stay struct {
	Serial string       `json:"serial"`
	Job    ID           `json:"job"`   // on whose drill, or from whose it was taken off
	On     bool         `json:"on"`    // on a drill; else off
	Place  drill.HeadID `json:"place"` // where on the drill
	Fate   Fate         `json:"fate"`  // where off it
	Since  time.Time    `json:"since"`
	Until  time.Time    `json:"until,omitzero"`
	Entry  ID           `json:"entry"`           // that says so
	Doubt  string       `json:"doubt,omitempty"` // what does not go with the stay before
}

// Stays are where one serial number has been, by its moves in any order. Every
// set of moves has an answer: where two contradict each other the later holds,
// and its stay carries the doubt.
func Stays(moves []Move) []Stay {
	var stays []Stay
	for _, m := range slices.SortedFunc(slices.Values(moves), Move.Compare) {
		next := Stay{Serial: m.Serial, Job: m.Job, On: m.On, Place: m.Place, Fate: m.Fate, Since: m.At, Entry: m.Entry}
		if len(stays) == 0 && m.Late {
			continue // it was never on
		}
		if n := len(stays); n > 0 {
			last := &stays[n-1]
			if m.says(*last) {
				continue
			}
			next.Doubt = doubt(*last, m)
			last.Until = m.At
		}
		stays = append(stays, next)
	}
	return stays
}

// says is whether a move tells nothing that is not so already.
func (m Move) says(last Stay) bool {
	if m.Late {
		return !last.On || last.Job != m.Job
	}
	if m.On {
		return last.On && last.Job == m.Job && last.Place == m.Place
	}
	return !last.On && last.Job == m.Job && last.Fate == m.Fate
}

// doubt is what speaks against a move from where the part was. A part may move
// from head to head of one drill, and from the shelf to anywhere.
func doubt(was Stay, m Move) string {
	switch {
	case m.On && was.On && was.Job != m.Job:
		return "was not taken off the drill it was on"
	case m.On && !was.On && was.Fate == Scrapped:
		return "had been scrapped"
	case !m.On && was.On && was.Job != m.Job:
		return "was taken off a drill that it was not on"
	case !m.On && !was.On && !m.Late && was.Fate != Unknown && was.Fate != m.Fate && was.Job != m.Job:
		return "was taken off a drill that it was not on"
	}
	return ""
}

// Now is the last of the stays: where the part is. It is false of a part that
// has no moves.
func Now(stays []Stay) (Stay, bool) {
	if len(stays) == 0 {
		return Stay{}, false
	}
	return stays[len(stays)-1], true
}

// Doubt is a move that does not go with what the record says of a serial.
type Doubt struct {
	Stay   Stay   // with the doubt
	Before Stay   // where it was
	Job    string // handle of the job where it was
}

// Error says where the record has the part, and what to do.
func (d Doubt) Error() string {
	where := "on " + d.Job + " at " + string(d.Before.Place)
	if !d.Before.On {
		where = d.Before.Fate.String() + ", taken off " + d.Job
	}
	return fmt.Sprintf("serial %s %s: the record has it %s since %s; check the number on the box, and if it was moved, say --moved",
		d.Stay.Serial, d.Stay.Doubt, where, Stamp(d.Before.Since))
}

// NewDoubts are the doubts that moves add to what is known of one serial, each
// with the stay before it.
func NewDoubts(known, added []Move) []Doubt {
	old := map[ID]bool{}
	for _, s := range Stays(known) {
		old[s.Entry] = old[s.Entry] || s.Doubt != ""
	}
	var out []Doubt
	stays := Stays(append(slices.Clone(known), added...))
	for i, s := range stays {
		if s.Doubt != "" && !old[s.Entry] {
			out = append(out, Doubt{Stay: s, Before: stays[i-1]})
		}
	}
	return out
}
