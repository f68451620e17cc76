package recorder

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/bits"

	"runproof/flowlog"
	"runproof/input"
)

// A frame carries the ports of one group: 4 counts of 14 bits behind a byte that
// says which group it is.
const (
	portsAFrame = 4
	countBits   = 14
	groupBits   = 8
	countMask   = 1<<countBits - 1
)

// ids on the bus: proprietary groups of ISO 11783-3, PGN 65322 and 65323, at
// priority 6. Source addresses from 128 up are those that nobody is assigned
// (ISO 11783-5 gives them to whoever claims one).
const (
	countsID    = 0x18FF2A00
	statesID    = 0x18FF2B00
	firstSource = 0x80
)

// node is one node on the bus.
type node struct {
	serial string
	ports  []int // column of each port, from port 1; -1 where the log has none
	total  []uint64
}

// WriteCAN writes the counts and the work state of a log as candump does, and
// the DBC that says what they are. Frames of ports that did not report are not
// sent. Nodes follow each other by 3 ms, frames of a node by 0.6 ms.
func WriteCAN(r flowlog.Reader, frames, dbc io.Writer) error {
	s := r.Schema()
	nodes, err := nodesOf(s)
	if err != nil {
		return err
	}
	states, err := statesOf(s)
	if err != nil {
		return err
	}
	if err := writeDBC(dbc, nodes, states); err != nil {
		return err
	}
	w := bufio.NewWriter(frames)
	bus := &bus{w: w, nodes: nodes, states: states}
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			return w.Flush()
		}
		if err != nil {
			return err
		}
		for i := range b.TimeNS {
			bus.sample(&b, i)
		}
	}
}

// nodesOf are the nodes of a log, in the order of their columns.
func nodesOf(s flowlog.Schema) ([]*node, error) {
	var nodes []*node
	at := map[string]*node{}
	for c, col := range s.Columns {
		if col.Kind != flowlog.Port {
			continue
		}
		n := at[col.Port.Node]
		if n == nil {
			n = &node{serial: col.Port.Node}
			nodes, at[n.serial] = append(nodes, n), n
		}
		for len(n.ports) < col.Port.Port {
			n.ports = append(n.ports, -1)
		}
		n.ports[col.Port.Port-1] = c
	}
	const most, mostPorts = 100, 200
	for _, n := range nodes {
		if len(n.ports) > mostPorts || len(nodes) > most {
			return nil, input.Fault{What: fmt.Sprintf("a bus of %d nodes, or a node of %d ports, is more than this recorder knows", len(nodes), len(n.ports)), Remedy: "record fewer"}
		}
		n.total = make([]uint64, len(n.ports))
	}
	return nodes, nil
}

// stateOf is a work state or a section's, two bits of the frame of states: 0
// off, 1 on, 3 not known.
type stateOf struct {
	name   string
	column int
}

// statesOf are the states of a log; a frame holds 32 of them.
func statesOf(s flowlog.Schema) ([]stateOf, error) {
	var states []stateOf
	for c, col := range s.Columns {
		switch col.Kind {
		case flowlog.Work:
			states = append(states, stateOf{"Work", c})
		case flowlog.Section:
			states = append(states, stateOf{"Section_" + plain(string(col.Section)), c})
		}
	}
	const most = 32
	if len(states) > most {
		return nil, input.Fault{What: fmt.Sprintf("%d states are more than the %d of one frame", len(states), most), Remedy: "record fewer sections"}
	}
	return states, nil
}

type bus struct {
	w      *bufio.Writer
	nodes  []*node
	states []stateOf
}

// sample sends what the nodes report of one sample.
func (b *bus) sample(batch *flowlog.Batch, i int) {
	const nodeNS, frameNS = 3e6, 6e5
	ns := batch.TimeNS[i]
	for k, n := range b.nodes {
		for g := 0; g*portsAFrame < len(n.ports); g++ {
			if data, any := n.frame(g, batch, i); any {
				b.send(ns+int64(k)*nodeNS+int64(g)*frameNS, countsID|uint32(firstSource+k), data)
			}
		}
	}
	if len(b.states) == 0 {
		return
	}
	data := ^uint64(0)
	for k, st := range b.states {
		if v := batch.Values[st.column][i]; v == v {
			data &^= (3 ^ uint64(v)) << (2 * k)
		}
	}
	b.send(ns+int64(len(b.nodes))*nodeNS, statesID|uint32(firstSource+len(b.nodes)), data)
}

// frame adds up the counts of a group and packs them.
func (n *node) frame(g int, batch *flowlog.Batch, i int) (data uint64, any bool) {
	data = uint64(g)
	for k := range portsAFrame {
		p := g*portsAFrame + k
		if p >= len(n.ports) {
			break
		}
		if c := n.ports[p]; c >= 0 {
			if v := batch.Values[c][i]; v == v {
				n.total[p] += uint64(v)
				any = true
			}
		}
		data |= (n.total[p] & countMask) << (groupBits + k*countBits)
	}
	return data, any
}

// send writes one frame; its bytes go out lowest first.
func (b *bus) send(ns int64, id uint32, data uint64) {
	fmt.Fprintf(b.w, "(%d.%06d) can0 %08X#%016X\n", ns/1e9, ns%1e9/1e3, id, bits.ReverseBytes64(data))
}

func writeDBC(dbc io.Writer, nodes []*node, states []stateOf) error {
	w := bufio.NewWriter(dbc)
	fmt.Fprint(w, "VERSION \"\"\n\nNS_ :\n\nBS_:\n\nBU_: Recorder\n")
	const extended = 1 << 31
	for k, n := range nodes {
		fmt.Fprintf(w, "\nBO_ %d Node%s: 8 Recorder\n", extended|countsID|uint32(firstSource+k), plain(n.serial))
		fmt.Fprintf(w, " SG_ Group M : 0|%d@1+ (1,0) [0|63] \"\" Recorder\n", groupBits)
		for p := range n.ports {
			fmt.Fprintf(w, " SG_ Port%02d m%d : %d|%d@1+ (1,0) [0|%d] \"count\" Recorder\n",
				p+1, p/portsAFrame, groupBits+p%portsAFrame*countBits, countBits, countMask)
		}
	}
	if len(states) > 0 {
		fmt.Fprintf(w, "\nBO_ %d States: 8 Recorder\n", extended|statesID|uint32(firstSource+len(nodes)))
	}
	for k, st := range states {
		fmt.Fprintf(w, " SG_ %s : %d|2@1+ (1,0) [0|1] \"\" Recorder\n", st.name, 2*k)
	}
	return w.Flush()
}

// plain is a serial as a DBC takes it in a name.
func plain(serial string) string {
	b := []byte(serial)
	for i, c := range b {
		if (c < '0' || c > '9') && (c < 'A' || c > 'Z') && (c < 'a' || c > 'z') {
			b[i] = '_'
		}
	}
	return string(b)
}
