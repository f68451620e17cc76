package can

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// slowThere asks up the chain of switches whether a frame has a signal.
func slowThere(m *Message, s *Signal, data []byte) bool {
	if s.SwitchedBy == nil {
		return true
	}
	on := &m.Signals[m.signal(s.Switch)]
	v := slowBits(on, data)
	return slowThere(m, on, data) && slices.ContainsFunc(s.SwitchedBy, func(span Span) bool { return span.From <= v && v <= span.To })
}

// drawSwitches makes a message whose signals wait for values of those before
// them, in any overlap and depth.
func drawSwitches(t *rapid.T) *Message {
	m := &Message{Name: "M", Size: 8, J1939: rapid.Bool().Draw(t, "j1939")}
	for i := range rapid.IntRange(1, 12).Draw(t, "signals") {
		s := Signal{Name: fmt.Sprint("S", i), Bits: rapid.IntRange(1, 6).Draw(t, "bits"), Factor: 1}
		s.Start = rapid.IntRange(0, 64-s.Bits).Draw(t, "start")
		if on := rapid.IntRange(-1, i-1).Draw(t, "switch"); on >= 0 {
			s.Switch = m.Signals[on].Name
			m.Signals[on].IsSwitch = true
			for range rapid.IntRange(1, 3).Draw(t, "spans") {
				from := rapid.Uint64Range(0, 63).Draw(t, "from")
				to := rapid.OneOf(rapid.Uint64Range(from, 64), rapid.Just(uint64(math.MaxUint64))).Draw(t, "to")
				s.SwitchedBy = append(s.SwitchedBy, Span{from, to})
			}
		}
		m.Signals = append(m.Signals, s)
	}
	return m
}

func TestSwitchesLikeTheSlowTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSwitches(t)
		l := layoutOf(m, func(signal int) int { return signal })
		values := make([][]float64, len(m.Signals))
		for range 20 {
			f := frame{n: 8}
			copy(f.data[:8], rapid.SliceOfN(rapid.Byte(), 8, 8).Draw(t, "data"))
			for i := range values {
				values[i] = []float64{math.NaN()}
			}
			var d decoded
			l.decode(&f, values, 0, &d)
			for i := range m.Signals {
				s := &m.Signals[i]
				got := values[i][0]
				if !slowThere(m, s, f.data[:]) {
					if got == got {
						t.Fatalf("%s is %v, but not there in % X", s.Name, got, f.data[:8])
					}
				} else if want := float64(slowBits(s, f.data[:])); got != want {
					t.Fatalf("%s is %v, want %v in % X", s.Name, got, want, f.data[:8])
				}
			}
			if !l.fits(&f) || d.short > 0 {
				t.Fatal("8 bytes are too short for 8 bytes")
			}
		}
	})
}

// A frame that is too short for a signal it should have does not fit, and gives
// the signals that it has.
func TestShortFramesLikeTheSlowTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSwitches(t)
		l := layoutOf(m, func(signal int) int { return signal })
		f := frame{n: rapid.IntRange(0, 8).Draw(t, "n")}
		copy(f.data[:8], rapid.SliceOfN(rapid.Byte(), 8, 8).Draw(t, "data"))
		fits := true
		for i := range m.Signals {
			s := &m.Signals[i]
			if slowThere(m, s, f.data[:]) && (s.Start+s.Bits+7)/8 > f.n {
				fits = false
			}
		}
		if got := l.fits(&f); got != fits {
			t.Fatalf("%d bytes of % X fit: %v, want %v", f.n, f.data[:8], got, fits)
		}
	})
}

// Exactly the id goes before the group; of a group's messages the one for any
// source; several for single sources leave others' frames to nobody.
func TestWhichMessage(t *testing.T) {
	db, err := ReadDBC(strings.NewReader(`BO_ 2566865041 One: 8 N
BO_ 2566865042 Two: 8 N
BO_ 2566865406 Any: 8 N
BO_ 2566865297 Own: 8 N
BO_ 2565800206 Asked: 8 N
BO_ 2566801792 Exact: 8 N
BO_ 145 Short: 8 N
BA_DEF_ BO_ "VFrameFormat" ENUM "StandardCAN","ExtendedCAN","reserved","J1939PG";
BA_DEF_DEF_ "VFrameFormat" "J1939PG";
BA_ "VFrameFormat" BO_ 2566801792 1;
BA_ "VFrameFormat" BO_ 145 "StandardCAN";
`), "x.dbc")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		id   ident
		want string
	}{
		{0x18FF4091 | extended, "One"},
		{0x18FF4092 | extended, "Two"},
		{0x18FF4093 | extended, ""}, // One or Two?
		{0x18FF4191 | extended, "Own"},
		{0x18FF4192 | extended, "Any"},
		{0x0CFF4191 | extended, "Any"},   // another priority is another id
		{0x18EF00AE | extended, "Asked"}, // below format 240, 00 is who it is for
		{0x18FE4980 | extended, "Exact"},
		{0x18FE4981 | extended, ""},
		{0x0CFE4980 | extended, ""},
		{0x91, "Short"},
		{0x91 | extended, ""},
	} {
		got := ""
		if i := db.message(c.id); i >= 0 {
			got = db.Messages[i].Name
		}
		if got != c.want {
			t.Errorf("%v is %q, want %q", c.id, got, c.want)
		}
	}
}
