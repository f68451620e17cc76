package alarm

import (
	"fmt"

	"runproof/input"
)

// Style is what a run's count is held against. The zero value is the
// contract's: the run's share of its head's total.
type Style int

// The styles of rule that monitors offer.
const (
	HeadShare   Style = iota // floor x share x the head's total in the same sample
	OwnMean                  // floor x the run's own running mean
	ProductMean              // floor x the mean of all runs of the product in the same sample
)

var styleWords = []string{"head_share", "own_mean", "product_mean"}

// String is the word used in documents.
func (s Style) String() string {
	if s < 0 || int(s) >= len(styleWords) {
		return fmt.Sprintf("Style(%d)", int(s))
	}
	return styleWords[s]
}

// MarshalText is String.
func (s Style) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (s *Style) UnmarshalText(b []byte) error {
	for i, w := range styleWords {
		if w == string(b) {
			*s = Style(i)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%q is no style of rule", b), Remedy: input.DidYouMean(string(b), styleWords)}
}

// says is the rule in words.
func (s Style) says(windowS float64) string {
	switch s {
	case OwnMean:
		return fmt.Sprintf("low when the count is below floor x the run's own mean over the last %g s", windowS)
	case ProductMean:
		return "low when the count is below floor x the mean count of all runs of the product in that sample"
	case HeadShare:
	}
	return "low when the count is below floor x the run's share x its head's total in that sample"
}
