package fit

// OhmMeaning is what a reading across the bus pair means. The zero value is
// that the reading fits nothing in particular.
type OhmMeaning int

// The meanings.
const (
	OhmDoubtful OhmMeaning = iota // a bad contact, or a resistor of another size
	OhmShort                      // the two wires touch
	OhmTooMany                    // three terminators or more
	OhmGood                       // two terminators
	OhmOneMissing
	OhmOpen // no terminator, or the meter is not on the bus
)

var ohmWords = []string{"doubtful", "short", "one too many", "good", "one missing", "open"}

// String is the word used in documents.
func (m OhmMeaning) String() string { return wordAt(ohmWords, int(m), "OhmMeaning") }

// MarshalText is String.
func (m OhmMeaning) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads one of the words.
func (m *OhmMeaning) UnmarshalText(b []byte) error {
	i, err := wordIndex(ohmWords, string(b), "meaning of a reading")
	*m = OhmMeaning(i)
	return err
}
