package practice

import (
	"fmt"
	"math"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
)

const (
	spareRule   = "ports kept free at every node"
	tubesRule   = "tube reaches from node to sensor"
	historyRule = "revision that does not name the one before"
)

// spare judges the node with the fewest free ports against what was asked for.
func (j judge) spare() check.Results {
	used := make(map[string]int)
	for _, l := range j.f.Map {
		used[l.Node]++
	}
	least := j.f.Nodes[0]
	for _, n := range j.f.Nodes[1:] {
		if n.Ports-used[n.Serial] < least.Ports-used[least.Serial] {
			least = n
		}
	}
	r := check.Result{
		Rule: spareRule, Of: fmt.Sprintf("node %s, %d of %d in use", least.Serial, used[least.Serial], least.Ports),
		Value: float64(least.Ports - used[least.Serial]), Bound: check.AtLeast, Limit: float64(j.f.Drill.Sensing.SparePorts),
		Source: "sensing.spare_ports of the drill's description", Advice: "a spare port is where a run goes when its own fails: plan again, or move a run to a node with more of them",
	}
	return check.Results{j.wished(r, 0)}
}

// tubes judges how far each node reaches: it may serve a head beside its own
// where that stands close. The longest tube of each pair of node and head is
// asked; where the reach of a part is not known, the first of that part.
func (j judge) tubes() check.Results {
	var rs check.Results
	unsaid := make(map[string]bool)
	for _, l := range j.longest() {
		r := j.reach(l)
		part := j.nodes[l.Node].Part
		if r.Verdict() == check.Unknown {
			if unsaid[part] {
				continue
			}
			unsaid[part] = true
		}
		rs = append(rs, r)
	}
	return telling(rs, "pairs of node and head")
}

// reach judges one tube.
func (j judge) reach(l fit.Link) check.Result {
	node := j.nodes[l.Node]
	r := check.Result{
		Rule: tubesRule, Of: fmt.Sprintf("%s of head %s to node %s at head %s", l.Run, j.runs[l.Run].Head, l.Node, node.Head), Quantity: measure.Length,
		Value: j.tubeM(l), Bound: check.AtMost, Limit: math.NaN(),
		Source: "tube_max_m of the node in the catalogue; a node may serve two heads that stand close: " + check.CommonPractice,
	}
	if part, _ := j.parts.Part(node.Part); part.TubeMaxM > 0 {
		r.Limit = part.TubeMaxM
	}
	return r.Advised("move the run to a node nearer to its head, or the sensor nearer to the outlet", "plan again: the fit does not carry tube_max_m of that node's part")
}

// longest are the links with the longest tube of each pair of node and head, in
// the order of the map.
func (j judge) longest() []fit.Link {
	type pair struct {
		node string
		head drill.HeadID
	}
	at := make(map[pair]int)
	var links []fit.Link
	for _, l := range j.f.Map {
		p := pair{l.Node, j.runs[l.Run].Head}
		i, met := at[p]
		if !met {
			at[p] = len(links)
			links = append(links, l)
		} else if j.tubeM(l) > j.tubeM(links[i]) {
			links[i] = l
		}
	}
	return links
}

// tubeM is how long the tube of a link is, m: as written in the map, but no
// shorter than the way from node to head and on to the sensor.
func (j judge) tubeM(l fit.Link) float64 {
	return measure.Round(math.Max(l.TubeM, j.apartM(l)+j.f.Drill.Sensing.SensorFromHeadM), 6)
}

// apartM is how far the node of a link is from the head of its run, m.
func (j judge) apartM(l fit.Link) float64 {
	return drill.DistanceM(j.heads[j.nodes[l.Node].Head].At, j.heads[j.runs[l.Run].Head].At)
}

// history is asked of revisions after the first: a run keeps its name and what
// was recorded of it only as long as each revision names the one that it came
// from.
func (j judge) history() check.Results {
	if j.f.Revision <= 1 {
		return nil
	}
	r := check.Result{
		Rule: historyRule, Of: fmt.Sprintf("revision %d", j.f.Revision),
		Source: "a run can move to a spare port without losing its history: " + check.CommonPractice,
		Advice: "make revisions with runproof fit move or runproof prove --write; they name the one before by its SHA-256",
	}
	if j.f.Made.Parent == "" {
		r.Value = 1
	}
	return check.Results{r}
}
