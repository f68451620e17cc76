package walk

import "fmt"

// Verdict is what the walk says of one run. The zero value is Unsure: a run
// of which nothing is known is never taken for a good one.
type Verdict int

// The verdicts.
const (
	Unsure    Verdict = iota // the evidence is too weak to say
	AsPlanned                // the planned port reacted, and no other
	Moved                    // another port reacted instead
	Silent                   // no port reacted: dead sensor, loose tube or no flow
	Shared                   // more than one port reacted
	NotWalked                // the run was not pinched or tapped
)

var verdictWords = [...]string{"unsure", "as_planned", "moved", "silent", "shared", "not_walked"}

// String is the word used in the proof document.
func (v Verdict) String() string {
	if v < 0 || int(v) >= len(verdictWords) {
		return fmt.Sprintf("verdict(%d)", int(v))
	}
	return verdictWords[v]
}

// MarshalText is String; it fails on a number that is no verdict.
func (v Verdict) MarshalText() ([]byte, error) {
	if v < 0 || int(v) >= len(verdictWords) {
		return nil, fmt.Errorf("%d is no verdict", int(v))
	}
	return []byte(v.String()), nil
}

// UnmarshalText reads one of the words that String writes.
func (v *Verdict) UnmarshalText(b []byte) error {
	for i, w := range verdictWords {
		if w == string(b) {
			*v = Verdict(i)
			return nil
		}
	}
	return fmt.Errorf("%q is no verdict; use one of %q", b, verdictWords)
}

// Method is how the runs were made to react. The zero value lets the
// recording decide.
type Method int

// The methods.
const (
	Auto  Method = iota // look which of the two the recording shows
	Pinch               // product flows and the hose is shut by hand: counts fall
	Tap                 // the sensor is tapped: counts rise
)

var methodWords = [...]string{"auto", "pinch", "tap"}

// String is the word used on the command line and in the proof document.
func (m Method) String() string {
	if m < 0 || int(m) >= len(methodWords) {
		return fmt.Sprintf("method(%d)", int(m))
	}
	return methodWords[m]
}

// MarshalText is String; it fails on a number that is no method.
func (m Method) MarshalText() ([]byte, error) {
	if m < 0 || int(m) >= len(methodWords) {
		return nil, fmt.Errorf("%d is no method", int(m))
	}
	return []byte(m.String()), nil
}

// UnmarshalText reads "auto", "pinch" or "tap".
func (m *Method) UnmarshalText(b []byte) error {
	for i, w := range methodWords {
		if w == string(b) {
			*m = Method(i)
			return nil
		}
	}
	return fmt.Errorf("%q is no method; use auto, pinch or tap", b)
}
