package check

import (
	"fmt"
	"strings"

	"runproof/input"
)

// Bound says which side of a limit is right. The zero value is AtMost.
type Bound int

// The bounds.
const (
	AtMost Bound = iota
	AtLeast
)

// String is "at most" or "at least".
func (b Bound) String() string {
	if b == AtLeast {
		return "at least"
	}
	return "at most"
}

// MarshalText is String.
func (b Bound) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (b *Bound) UnmarshalText(text []byte) error {
	i, err := pick(string(text), "bound", []string{"at most", "at least"})
	*b = Bound(i)
	return err
}

// Verdict is whether a rule is kept. The zero value is Unknown: what could not
// be judged is never shown as kept.
type Verdict int

// The verdicts.
const (
	Unknown Verdict = iota // a figure is missing
	Kept
	Tight  // kept, with less than the reserve one would want
	Broken // not kept
)

var verdictWords = []string{"unknown", "kept", "tight", "broken"}

// String is "unknown", "kept", "tight" or "broken".
func (v Verdict) String() string {
	if v < 0 || int(v) >= len(verdictWords) {
		return fmt.Sprintf("verdict %d", int(v))
	}
	return verdictWords[v]
}

// Worse tells whether v needs a person more than w does: broken before tight,
// before unknown, before kept.
func (v Verdict) Worse(w Verdict) bool { return v.concern() > w.concern() }

func (v Verdict) concern() int {
	switch v {
	case Broken:
		return 3
	case Tight:
		return 2
	case Kept:
		return 0
	case Unknown:
	}
	return 1
}

// MarshalText is String.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (v *Verdict) UnmarshalText(text []byte) error {
	i, err := pick(string(text), "verdict", verdictWords)
	*v = Verdict(i)
	return err
}

func pick(word, kind string, words []string) (int, error) {
	for i, w := range words {
		if w == strings.ToLower(word) {
			return i, nil
		}
	}
	return 0, input.Fault{What: fmt.Sprintf("%q is no %s", word, kind), Remedy: input.DidYouMean(word, words)}
}
