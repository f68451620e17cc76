package plan

import (
	"math"

	"runproof/fit"
	"runproof/parts"
)

// standIn puts nodes from the shelf in the place of planned ones that it lacks.
// Ports keep their numbers; a larger node has more of them free.
func (p *planner) standIn() {
	planned := make([]string, len(p.f.Nodes))
	for i, n := range p.f.Nodes {
		planned[i] = n.Part
	}
	for i, id := range parts.StandIns(planned, p.shelf, p.cat) {
		if id == planned[i] {
			continue
		}
		part, _ := p.cat.Part(id)
		p.f.Nodes[i].Part, p.f.Nodes[i].Ports = id, part.Ports
		p.instead[id] = planned[i]
	}
}

// fromShelf makes the legs of what is on the shelf.
func (p *planner) fromShelf(h fit.Harness) fit.Harness {
	needs := make([]parts.LegNeed, len(h.Legs))
	for i, l := range h.Legs {
		needs[i] = parts.LegNeed{ID: l.ID, NeedM: l.NeedM(), AreaMM2: l.AreaMM2, Pieces: l.Pieces}
	}
	p.cover = parts.CoverFromShelf(needs, p.shelf, p.cat)
	legs := make([]fit.Leg, len(h.Legs))
	h.BusM = 0
	for i, l := range h.Legs {
		if c := p.cover.Legs[i]; len(c.Pieces) > 0 {
			l.Pieces, l.LengthM, l.AreaMM2 = c.Pieces, math.Round(c.LengthM*1000)/1000, c.AreaMM2
		}
		if legs[i] = l; l.Bus {
			h.BusM += l.LengthM
		}
	}
	h.Legs, h.BusM = legs, math.Round(h.BusM*1000)/1000
	return h
}
