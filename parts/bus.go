package parts

import (
	"fmt"

	"runproof/input"
)

// BusRules names the body of rules that a bus keeps. The zero value is not
// said.
type BusRules int

// The rule sets. They do not mix.
const (
	BusUnsaid     BusRules = iota
	ISO11783Quad           // ISO 11783-2, twisted quad with terminating bias circuits
	ISO11783Pair           // ISO 11783-2:2019, twisted pair
	J1939Shielded          // SAE J1939-11
	J1939Pair              // SAE J1939-15
	J1939Fast              // SAE J1939-14, 500 kbit/s
	CiA                    // CAN in Automation's guidance on length and drops by bit rate
)

var busWords = []string{"", "iso11783-quad", "iso11783-pair", "j1939-11", "j1939-15", "j1939-14", "cia"}

// String is the word used in parts.yaml; empty for BusUnsaid.
func (b BusRules) String() string { return wordOf(busWords, int(b)) }

// MarshalText is String.
func (b BusRules) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// UnmarshalText reads one of the words. The error is an input.Fault without a
// place.
func (b *BusRules) UnmarshalText(text []byte) error {
	i, err := indexOf(busWords, string(text), "rule set of a bus")
	*b = BusRules(i)
	return err
}

// Joining is how a box joins the bus. The zero value is Through.
type Joining int

// The two ways.
const (
	Through Joining = iota // two connectors: the harness goes in and out
	Drop                   // one connector: it hangs on a junction by a drop
)

var joinWords = []string{"through", "drop"}

// String is the word used in parts.yaml.
func (j Joining) String() string { return wordOf(joinWords, int(j)) }

// MarshalText is String.
func (j Joining) MarshalText() ([]byte, error) { return []byte(j.String()), nil }

// UnmarshalText reads one of the words. The error is an input.Fault without a
// place.
func (j *Joining) UnmarshalText(text []byte) error {
	i, err := indexOf(joinWords, string(text), "way to join a bus")
	*j = Joining(i)
	return err
}

func wordOf(words []string, i int) string {
	if i < 0 || i >= len(words) {
		return fmt.Sprintf("%d?", i)
	}
	return words[i]
}

func indexOf(words []string, word, what string) (int, error) {
	for i, w := range words {
		if w == word {
			return i, nil
		}
	}
	if words[0] == "" {
		words = words[1:] // what is not said is left out, not written
	}
	return 0, input.Fault{What: fmt.Sprintf("%q is no %s", word, what), Remedy: input.DidYouMean(word, words)}
}
