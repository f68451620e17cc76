package fit

import "testing"

// Every word reads back as what it was written from; what is none is refused.
func TestWordsReadBack(t *testing.T) {
	t.Run("meaning", readsBack[OhmMeaning](len(ohmWords)))
	t.Run("sight", readsBack[Sight](len(sightWords)))
	t.Run("switch", readsBack[SwitchKind](len(switchWords)))
	t.Run("way", readsBack[WorkWay](len(workWayWords)))
}

type word[T any] interface {
	*T
	UnmarshalText([]byte) error
}

func readsBack[T interface {
	~int
	MarshalText() ([]byte, error)
}, P word[T]](n int) func(*testing.T) {
	return func(t *testing.T) {
		for i := range n {
			b, _ := T(i).MarshalText()
			var back T
			if err := P(&back).UnmarshalText(b); err != nil || back != T(i) {
				t.Errorf("%d is %q and reads back as %d, %v", i, b, back, err)
			}
		}
		var v T
		if err := P(&v).UnmarshalText([]byte("sideways")); err == nil {
			t.Error("took a word that is none")
		}
	}
}
