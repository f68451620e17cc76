package fit

import (
	"fmt"

	"runproof/input"
)

// SwitchKind is how a work-state switch senses. The zero value is a tilt sensor.
type SwitchKind int

// The kinds.
const (
	TiltSwitch    SwitchKind = iota // an angle
	ContactSwitch                   // a contact that the linkage closes or opens
)

var switchWords = []string{"tilt", "contact"}

// String is the word used in documents.
func (k SwitchKind) String() string { return wordAt(switchWords, int(k), "SwitchKind") }

// MarshalText is String.
func (k SwitchKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads one of the words.
func (k *SwitchKind) UnmarshalText(b []byte) error {
	i, err := wordIndex(switchWords, string(b), "kind of switch")
	*k = SwitchKind(i)
	return err
}

// WorkWay is which way round a work-state switch is. The zero value is not
// known: it is to be seen at the machine, and noted.
type WorkWay int

// The ways round.
const (
	WorkUnknown WorkWay = iota
	WorkBelow           // tilt: the angle is below the threshold in the ground
	WorkAbove           // tilt: the angle is above the threshold in the ground
	WorkClosed          // contact: closed in the ground
	WorkOpen            // contact: open in the ground
)

var workWayWords = []string{"to be noted", "angle below", "angle above", "contact closed", "contact open"}

// String is the word used in documents.
func (w WorkWay) String() string { return wordAt(workWayWords, int(w), "WorkWay") }

// MarshalText is String.
func (w WorkWay) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads one of the words.
func (w *WorkWay) UnmarshalText(b []byte) error {
	i, err := wordIndex(workWayWords, string(b), "way round of a work-state switch")
	*w = WorkWay(i)
	return err
}

func wordAt(words []string, i int, name string) string {
	if i < 0 || i >= len(words) {
		return fmt.Sprintf("%s(%d)", name, i)
	}
	return words[i]
}

func wordIndex(words []string, word, what string) (int, error) {
	for i, w := range words {
		if w == word {
			return i, nil
		}
	}
	return 0, input.Fault{What: fmt.Sprintf("%q is no %s", word, what), Remedy: input.DidYouMean(word, words)}
}
