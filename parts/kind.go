package parts

import (
	"fmt"

	"runproof/input"
)

// Kind is what a part is for. The zero Kind is not said, and no part of a
// catalogue has it.
type Kind int

// The kinds of parts, in the order in which a kit lists them.
const (
	KindUnsaid Kind = iota
	Node            // sensing node: a box with numbered ports
	Sensor          // in-line sensor in a run
	Tube            // tube or lead from a sensor to its port, on a roll
	Cap             // closes an unused port
	Clamp           // holds a sensor in its hose
	Adapter         // joins a hose to a sensor of another size
	Leg             // harness cable of a stock length, with connectors
	Tee             // junction of the harness
	Terminator      // ends the bus
	Fuse            // in its holder, at the supply
	SupplyEnd       // makes off the supply lead at the power point
	Gateway         // between the bus and the cab
	Switch          // work-state switch
	Label           // marks a run or port
	Plug            // closes an unused connector of the harness or an antenna lead
	Antenna         // of the gateway, with its lead
	Mount           // holds the tablet in the cab
	Charger         // feeds the tablet in the cab
	Fixing          // holds a box on the machine
	Tie             // fastens tubes and harness to the frame
)

var kindWords = [...]string{"", "node", "sensor", "tube", "cap", "clamp", "adapter", "leg", "tee", "terminator", "fuse", "supply-end", "gateway", "switch", "label", "plug", "antenna", "mount", "charger", "fixing", "tie"}

// String is the word used in parts.yaml; empty for KindUnsaid.
func (k Kind) String() string {
	if k < 0 || int(k) >= len(kindWords) {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return kindWords[k]
}

// MarshalText is String.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads one of the words. The error is an input.Fault without a
// place.
func (k *Kind) UnmarshalText(b []byte) error {
	for i, w := range kindWords[1:] {
		if w == string(b) {
			*k = Kind(i + 1)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%q is no kind of part", b), Remedy: input.DidYouMean(string(b), kindWords[1:])}
}
