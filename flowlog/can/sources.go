package can

import (
	"cmp"
	"fmt"
	"slices"

	"runproof/flowlog"
	"runproof/input"
)

// source is one message from one sender on one bus.
type source struct {
	message *Message
	address int // of the sender; -1 where the message is not J1939
	bus     int
	seen    sighting
	fd      bool   // what most of its frames are
	suffix  string // behind the names of its signals

	layout  layout   // what is wanted
	whole   layout   // all that its frames can hold
	beyond  []string // signals that they cannot
	shorter int      // frames that lack a signal which others of their length or longer have
	odd     int      // FD frames among classic ones, or the other way round
	empty   bool
	decoded
}

// longest is the most data that its frames had.
func (s *source) longest() int { return s.seen.longest[formOf(s.fd)] }

func (s *source) frames() int { return s.seen.frames[0] + s.seen.frames[1] }

// sourceKey tells sources apart.
type sourceKey struct{ message, address, bus int }

// sources finds who sends what, in the order of messages in the DBC, addresses,
// and how busy buses are. routes has for each place of the survey its source, or
// none.
func (s *survey) sources(db *Database, onlyBus int) (all []*source, routes []int) {
	found := map[sourceKey]*source{}
	owner := make([]*source, len(s.places))
	for i, p := range s.places {
		at := db.message(p.id())
		if at < 0 || onlyBus != none && p.bus() != onlyBus {
			continue
		}
		key := sourceKey{at, none, p.bus()}
		if db.Messages[at].J1939 {
			key.address = int(p.id().source())
		}
		src := found[key]
		if src == nil {
			src = &source{message: &db.Messages[at], address: key.address, bus: key.bus}
			found[key] = src
			all = append(all, src)
		}
		owner[i] = src
		for form := range 2 {
			src.seen.frames[form] += s.seen[i].frames[form]
			src.seen.longest[form] = max(src.seen.longest[form], s.seen[i].longest[form])
		}
	}
	orderSources(all, db)
	s.name(all)
	number := map[*source]int{nil: none}
	for i, src := range all {
		number[src] = i
		src.fd = src.seen.frames[1] > src.seen.frames[0]
		needs := bytesNeeded(src.message)
		src.empty = needs < 0 || needs > src.longest()
	}
	for _, src := range owner {
		routes = append(routes, number[src])
	}
	return all, routes
}

func orderSources(all []*source, db *Database) {
	at := map[*Message]int{}
	for i := range db.Messages {
		at[&db.Messages[i]] = i
	}
	slices.SortStableFunc(all, func(a, b *source) int {
		return cmp.Or(cmp.Compare(at[a.message], at[b.message]), cmp.Compare(a.address, b.address), cmp.Compare(b.frames(), a.frames()), cmp.Compare(a.bus, b.bus))
	})
}

// name gives the sources of one message what tells them apart. They stand in
// order.
func (s *survey) name(all []*source) {
	for i, src := range all {
		first := i
		for first > 0 && all[first-1].message == src.message {
			first--
		}
		last := i
		for last+1 < len(all) && all[last+1].message == src.message {
			last++
		}
		if all[first].address != all[last].address {
			src.suffix = "@" + string(appendHex(nil, uint32(src.address), 2))
		}
		if i > first && all[i-1].address == src.address {
			src.suffix += "@" + s.names[src.bus]
		}
	}
}

// plan makes the columns, and the layouts that fill them.
func plan(all []*source, file string, keep func(flowlog.Column) bool) (columns []flowlog.Column, err error) {
	for _, src := range all {
		to, there := make([]int, len(src.message.Signals)), make([]int, len(src.message.Signals))
		for i := range src.message.Signals {
			sig := &src.message.Signals[i]
			to[i], there[i] = none, none
			if sig.Bits > 64 || fieldOf(sig).bytes > src.longest() {
				src.beyond = append(src.beyond, sig.Name)
				continue
			}
			there[i] = 0
			col := flowlog.ColumnNamed(src.message.Name + "." + sig.Name + src.suffix)
			if keep == nil || keep(col) {
				to[i] = len(columns)
				columns = append(columns, col)
			}
		}
		src.layout = layoutOf(src.message, func(signal int) int { return to[signal] })
		src.whole = layoutOf(src.message, func(signal int) int { return there[signal] })
	}
	if len(columns) > flowlog.MaxColumns {
		return nil, input.Fault{
			Place: input.Place{File: file}, What: fmt.Sprintf("the recording holds %d signals, more than the %d that a log may have", len(columns), flowlog.MaxColumns),
			Remedy: "leave only the messages that are needed in the DBC",
		}
	}
	return columns, nil
}
