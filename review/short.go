package review

import (
	"cmp"
	"slices"

	"runproof/ground"
)

// shutness tells when a product's rows were shut off in the ground. Rows of one
// head and section are shut together.
type shutness struct {
	list   []int            // by row: its list, from 1 on; 0 = never shut
	spells [][]ground.Spell // by list, in order of time
}

func newShutness(rows int, shut []ground.Spell) shutness {
	d := shutness{list: make([]int, rows+1), spells: make([][]ground.Spell, 1)}
	for _, sp := range shut {
		k := d.list[sp.Rows[0]]
		if k == 0 {
			k, d.spells = len(d.spells), append(d.spells, nil)
			for _, r := range sp.Rows {
				d.list[r] = k
			}
		}
		d.spells[k] = append(d.spells[k], sp)
	}
	for _, s := range d.spells {
		slices.SortFunc(s, func(a, b ground.Spell) int { return cmp.Compare(a.FromNS, b.FromNS) })
	}
	return d
}

// without is what of an event's spells falls into times in which its rows were
// not shut: what is shut off on purpose is never an event's (contract), whatever
// else is wrong at the time.
func (d *shutness) without(spells []ground.Spell) []ground.Spell {
	var out []ground.Spell
	for _, sp := range spells {
		rows := map[int][]int{}
		for _, r := range sp.Rows {
			rows[d.list[r]] = append(rows[d.list[r]], r)
		}
		for k, shut := range d.spells {
			if len(rows[k]) > 0 {
				out = append(out, outside(ground.Spell{Event: sp.Event, Rows: rows[k], FromNS: sp.FromNS, ToNS: sp.ToNS}, shut)...)
			}
		}
	}
	return out
}

// outside is what of a spell lies in none of others, which are in order.
func outside(sp ground.Spell, others []ground.Spell) []ground.Spell {
	var out []ground.Spell
	from := sp.FromNS
	for _, o := range others {
		if o.ToNS <= from || o.FromNS >= sp.ToNS {
			continue
		}
		if o.FromNS > from {
			out = append(out, ground.Spell{Event: sp.Event, Rows: sp.Rows, FromNS: from, ToNS: o.FromNS})
		}
		from = o.ToNS
	}
	if from < sp.ToNS {
		out = append(out, ground.Spell{Event: sp.Event, Rows: sp.Rows, FromNS: from, ToNS: sp.ToNS})
	}
	return out
}
