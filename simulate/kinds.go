package simulate

import (
	"fmt"

	"runproof/input"
)

// Kind is what is recorded. The zero value is a field day.
type Kind int

// The kinds of recording.
const (
	Day      Kind = iota // field work with faults
	Baseline             // field work from which alarms are tuned
	Yard                 // a walk in the yard
	Caught               // a catch test in the yard, with bags
)

var kindWords = []string{"day", "baseline", "walk", "catch"}

// String is the word used in a scenario.
func (k Kind) String() string { return kindWords[k] }

// MarshalText is String.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// InField tells whether the drill works; in the yard it stands.
func (k Kind) InField() bool { return k == Day || k == Baseline }

// UnmarshalText reads day, baseline, walk or catch.
func (k *Kind) UnmarshalText(b []byte) error { return readWord(k, b, kindWords, "kind of recording") }

// Method is how a run is made to react in the yard. The zero value pinches.
type Method int

// The methods.
const (
	Pinch Method = iota // product flows, the hose is pinched shut for a moment
	Tap                 // nothing flows, the sensor is tapped
)

var methodWords = []string{"pinch", "tap"}

// String is the word used in a scenario.
func (m Method) String() string { return methodWords[m] }

// MarshalText is String.
func (m Method) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads pinch or tap.
func (m *Method) UnmarshalText(b []byte) error { return readWord(m, b, methodWords, "method") }

// SensorFault is how a lost sensor reads. The zero value reads nothing at all.
type SensorFault int

// The ways a sensor is lost.
const (
	ReadsZero SensorFault = iota // counts nothing
	ReadsNull                    // does not report
	Sticks                       // repeats its last count
	Trickles                     // counts a little at random, whatever flows
)

var sensorWords = []string{"zero", "null", "stuck", "trickle"}

// String is the word used in a scenario.
func (f SensorFault) String() string { return sensorWords[f] }

// MarshalText is String.
func (f SensorFault) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// UnmarshalText reads zero, null, stuck or trickle.
func (f *SensorFault) UnmarshalText(b []byte) error {
	return readWord(f, b, sensorWords, "way to lose a sensor")
}

func readWord[T ~int](to *T, b []byte, words []string, what string) error {
	for i, w := range words {
		if w == string(b) {
			*to = T(i)
			return nil
		}
	}
	if near, ok := input.Nearest(string(b), words); ok {
		return fmt.Errorf("%q is no %s; did you mean %s?", b, what, near)
	}
	return fmt.Errorf("%q is no %s; use one of %v", b, what, words)
}
