package parts

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Cable ties: common practice, no source.
const (
	tieEveryM   = 0.5 // along tubes and harness
	tiesPerTube = 2   // at sensor and port
	otherBoxes  = 3   // beside the nodes: gateway, antenna, switch
	plugAntenna = 1   // the lead is capped whenever it is off the gateway
)

// harness adds what the plan of the harness takes: legs, junctions, plugs and
// the fuse.
func (b *kitBuilder) harness(n Need) {
	if !n.Harness {
		b.note("no harness is planned in this fit: legs, junctions, plugs for them and the fuse are not counted")
	} else {
		b.legs(n.Legs)
		b.first(Tee, n.Tees, "where three ways of the harness meet")
		b.first(SupplyEnd, 1, "supply lead, at the power point")
	}
	b.first(Plug, n.Plugs+plugAntenna, plugsWhy(n))
	if n.Fuse != "" {
		b.named(n.Fuse, 1, "at the supply")
	}
}

func plugsWhy(n Need) string {
	if n.Plugs == 0 {
		return "for the antenna lead when it is off"
	}
	return fmt.Sprintf("%d connectors that nothing is plugged into; one for the antenna lead when it is off", n.Plugs)
}

// legs counts the stock lengths of all legs, the parts in the order of the
// catalogue.
func (b *kitBuilder) legs(legs []LegNeed) {
	counts := make(map[string]int)
	for _, l := range legs {
		for _, id := range l.Pieces {
			counts[id]++
		}
	}
	for _, p := range b.cat.Of(Leg) {
		if counts[p.ID] > 0 {
			b.line(p, counts[p.ID], "")
		}
		delete(counts, p.ID)
	}
	for _, id := range sortedKeys(counts) {
		b.note("the catalogue has no leg %s: %d needed", id, counts[id])
	}
}

func labels(n Need) int {
	count := 2*len(n.TubesM) + 2*len(n.Legs) + total(n.Nodes) + n.Junctions
	if n.Switch {
		count += 2
	}
	return count
}

func labelsWhy(n Need) string {
	if len(n.Legs) == 0 {
		return "two for each run, at sensor and port; one for each node"
	}
	return "two for each run, at sensor and port; two for each leg and the switch lead; one for each node and junction"
}

// ties counts cable ties along tubes and harness, in bags where they come so.
func (b *kitBuilder) ties(n Need) {
	count := 0
	for _, m := range n.TubesM {
		count += tiesPerTube + int(math.Ceil(m/tieEveryM-1e-9))
	}
	for _, l := range n.Legs {
		count += int(math.Ceil(l.NeedM/tieEveryM - 1e-9))
	}
	pack := 1
	if ps := b.cat.Of(Tie); len(ps) > 0 {
		pack = max(1, ps[0].Pack)
	}
	b.first(Tie, begun(count, pack), fmt.Sprintf("%d ties: two for each tube, one for each %.0f cm of tube and harness begun", count, 100*tieEveryM))
}

func total(some []Some) int {
	n := 0
	for _, s := range some {
		n += s.Pieces
	}
	return n
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	keys := make([]K, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
