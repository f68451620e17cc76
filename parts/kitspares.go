package parts

import (
	"fmt"
	"strings"
)

// sparing is how many spare pieces a kind gets. The zero sparing is none.
type sparing struct {
	kind Kind
	each int    // one spare piece for each so many begun; 0: none this way
	plus int    // so many more, where any is fitted
	why  string // what wears, or goes astray, in the yard
}

// The usual policy: common practice, no source. A part's own spare_per goes
// before it. Nodes, legs, terminators, gateway, antenna and switch have none:
// one of each is kept in the workshop, not in every truck. Tubes have theirs in
// length.
var sparesPolicy = []sparing{
	{Sensor, 20, 0, "a spigot breaks, a diaphragm is pierced"},
	{Cap, 10, 0, "falls into the stubble"},
	{Clamp, 20, 0, "stripped when tightened"},
	{Adapter, 20, 0, "cracks when forced"},
	{Plug, 10, 0, "falls into the stubble"},
	{Fuse, 1, 1, "blows when the harness is tried out"},
	{Label, 20, 0, "torn when stuck on"},
}

// spareTubeShare is the part of the tube's length that must be left on the
// rolls after cutting.
const spareTubeShare = 0.05

// spares is how many spare pieces go with count pieces of a part.
func spares(p Part, count int) int {
	if count <= 0 {
		return 0
	}
	if p.SparePer > 0 {
		return begun(count, p.SparePer)
	}
	for _, s := range sparesPolicy {
		if s.kind == p.Kind {
			return begun(count, s.each) + s.plus
		}
	}
	return 0
}

// begun is how many groups of so many are begun by n.
func begun(n, each int) int {
	if each <= 0 {
		return 0
	}
	return (n + each - 1) / each
}

// sparesNote says the policy in a sentence.
func sparesNote() string {
	var rules []string
	for _, s := range sparesPolicy {
		switch {
		case s.each == 1:
			rules = append(rules, fmt.Sprintf("one %s for each and %d more", s.kind, s.plus))
		default:
			rules = append(rules, fmt.Sprintf("one %s for each %d begun", s.kind, s.each))
		}
	}
	return fmt.Sprintf("spares: %s, %.0f %% of the tube; a part's spare_per goes before; keep one node of the same kind in the workshop",
		strings.Join(rules, ", "), 100*spareTubeShare)
}
