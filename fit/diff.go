package fit

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"runproof/drill"
	"runproof/input"
)

// Change is one difference between two fits, in words that a person says.
type Change struct {
	Kind  ChangeKind    `json:"kind"`
	About string        `json:"about"` // "row spacing", "node 4105", "C-7"
	From  string        `json:"from,omitempty"`
	To    string        `json:"to,omitempty"`
	Runs  []drill.RunID `json:"runs,omitempty"` // the runs it concerns, for changes of runs
	Words string        `json:"words"`          // "C-7 moved from 4103 port 7 to port 12"
}

// ChangeKind says what changed.
type ChangeKind int

// The kinds of changes, in the order in which Diff lists them.
const (
	DrillChanged ChangeKind = iota
	PartChanged             // of the catalogue
	NodeChanged
	RunChanged
	HarnessChanged // what is laid, fused, and set up beside the map
)

var changeWords = []string{"drill", "part", "node", "run", "harness"}

// String is "drill", "part", "node", "run" or "harness".
func (k ChangeKind) String() string {
	if k < 0 || int(k) >= len(changeWords) {
		return fmt.Sprintf("ChangeKind(%d)", int(k))
	}
	return changeWords[k]
}

// MarshalText is String.
func (k ChangeKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads one of the words.
func (k *ChangeKind) UnmarshalText(b []byte) error {
	return input.Word(k, b, changeWords, "%q is no kind of change")
}

// Diff lists what is different in fit b against fit a: the drill, the parts
// used, nodes, which run goes to which port, and what is laid: legs and their
// pieces, fuse, gateway, work-state switch. Revision, provenance, what the
// planner said, and what follows from all that (tube lengths of what moved,
// volts, the kit) do not count. Numbers are metric, as in the drill's
// description.
func Diff(a, b *Fit) []Change {
	var d differ
	d.drill(&a.Drill, &b.Drill)
	d.parts(a.Parts, b.Parts)
	renamed := d.nodes(a, b)
	d.runs(a, b, renamed)
	d.harness(a, b)
	return d.changes
}

// differ collects changes.
type differ struct{ changes []Change }

// say adds a change; the format's arguments go into its words.
func (d *differ) say(k ChangeKind, about, from, to, format string, args ...any) {
	d.changes = append(d.changes, Change{Kind: k, About: about, From: from, To: to, Words: fmt.Sprintf(format, args...)})
}

// text compares two values that have words.
func (d *differ) text(k ChangeKind, about, from, to string) {
	if from != to {
		d.say(k, about, from, to, "%s %s to %s", about, orNone(from), orNone(to))
	}
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// number compares two values in a unit: "row spacing 0.25 to 0.30 m".
func (d *differ) number(k ChangeKind, about string, from, to float64, unit string) {
	if from == to {
		return
	}
	n := max(decimals(from), decimals(to))
	a, b := strconv.FormatFloat(from, 'f', n, 64), strconv.FormatFloat(to, 'f', n, 64)
	d.say(k, about, a, b, "%s", strings.TrimSpace(fmt.Sprintf("%s %s to %s %s", about, a, b, unit)))
}

// decimals is how many decimals a number needs, at most 4.
func decimals(v float64) int {
	s := strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64)
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return len(s) - i - 1
	}
	return 0
}

// paired walks two lists by key: changed gets those in both, gone those only
// in the first, come those only in the second; the first list's order, then
// the second's.
func paired[T any](as, bs []T, key func(T) string, changed func(a, b T), gone, come func(T)) {
	inA, inB := make(map[string]bool), make(map[string]T)
	for _, b := range bs {
		inB[key(b)] = b
	}
	for _, a := range as {
		inA[key(a)] = true
		if b, ok := inB[key(a)]; ok {
			changed(a, b)
		} else {
			gone(a)
		}
	}
	for _, b := range bs {
		if !inA[key(b)] {
			come(b)
		}
	}
}
