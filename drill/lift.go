package drill

import (
	"fmt"

	"runproof/input"
)

// LiftKind is what turns when the openers are lifted. The zero value is not
// said.
type LiftKind int

// The kinds of linkage.
const (
	LiftUnsaid    LiftKind = iota
	LiftParallel           // four-bar linkage: the tool bar stays level, the arms turn
	LiftRockShaft          // a shaft or wheel arm turns
	LiftRigid              // the whole frame pivots at the hitch
)

var liftWords = []string{"", "parallel", "rock-shaft", "rigid"}

// String is the word used in drill.yaml; empty for LiftUnsaid.
func (k LiftKind) String() string {
	if k < 0 || int(k) >= len(liftWords) {
		return fmt.Sprintf("lift %d", int(k))
	}
	return liftWords[k]
}

// MarshalText is String.
func (k LiftKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (k *LiftKind) UnmarshalText(b []byte) error {
	for i, w := range liftWords {
		if w == string(b) {
			*k = LiftKind(i)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%q is no kind of linkage", b), Remedy: input.DidYouMean(string(b), liftWords[1:])}
}
