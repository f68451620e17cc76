package allocate

import (
	"fmt"
	"math"

	"runproof/drill"
	"runproof/input"
	"runproof/parts"
)

// Problem is an allocation in plain numbers. Heads are counted from 0 in the
// order of the drill.
type Problem struct {
	Demand []int       // sensed runs of each head; 0 where none is sensed
	DistM  [][]float64 // from head to head, metres; +Inf where a tube does not reach
	Cap    int         // ports of a node that may be used, at least 1

	// At says where the heads are. It only guides the search: windows of heads
	// that lie together make good bounds. Without it the search is slower.
	At []drill.Point
}

// reachSlackM lets places written as decimals and exactly in reach count as
// such, whatever their binary sum is.
const reachSlackM = 1e-9

// NewProblem states the drill's allocation with one kind of node. The error is
// a KeyFault.
func NewProblem(d *drill.Drill, node parts.Part) (Problem, error) {
	s := d.Sensing
	p := Problem{Demand: make([]int, len(d.Heads)), Cap: node.Ports - s.SparePorts}
	if p.Cap < 1 {
		return p, keyFault("spare_ports", fmt.Sprintf("leave at most %d free, or use a node with more ports", max(0, node.Ports-1)),
			"node %s has %d ports and %d of them are to stay free: none is left", node.ID, node.Ports, s.SparePorts)
	}
	if s.SensorFromHeadM > node.TubeMaxM+reachSlackM {
		return p, keyFault("sensor_from_head_m", "put the sensors nearer to the heads, or use a node with longer tubes",
			"no node can serve any run: the sensor is %g m from its head, and tubes of node %s reach %g m", s.SensorFromHeadM, node.ID, node.TubeMaxM)
	}
	place := make(map[drill.HeadID]int)
	for i, h := range d.Heads {
		place[h.ID] = i
	}
	for _, r := range d.Runs() {
		if r.Sensed {
			p.Demand[place[r.Head]]++
		}
	}
	for _, h := range d.Heads {
		p.At = append(p.At, h.At)
	}
	p.DistM = distances(d.Heads, node.TubeMaxM-s.SensorFromHeadM+reachSlackM)
	return p, nil
}

// distances are straight, in space.
func distances(heads []drill.Head, reachM float64) [][]float64 {
	m := make([][]float64, len(heads))
	for i, a := range heads {
		m[i] = make([]float64, len(heads))
		for j, b := range heads {
			if m[i][j] = drill.DistanceM(a.At, b.At); m[i][j] > reachM {
				m[i][j] = math.Inf(1)
			}
		}
	}
	return m
}

// KeyFault is a fault of one of the keys under sensing in the drill's
// description. Its Place is empty: the drill in memory does not know where it
// was written.
type KeyFault struct {
	Key string // "node", "spare_ports", ...
	input.Fault
}

func keyFault(key, remedy, what string, args ...any) error {
	return KeyFault{key, input.Fault{What: fmt.Sprintf(what, args...), Remedy: remedy}}
}
