package ledger

import (
	"fmt"

	"runproof/input"
)

// Kind is what an entry tells of. The zero Kind is no entry's.
type Kind int

// The kinds of entries.
const (
	NoKind    Kind = iota
	Opened         // the job was opened
	Survey         // the drill as described: drill.yaml
	Fit            // a revision of the fit
	Walk           // a recorded walk, with its marks
	Proof          // what a walk proved
	Rules          // alarm rules that were keyed in
	Log            // a recording of work
	Review         // what a review of a recording found
	Visit          // a person was at the drill
	Swap           // a part was exchanged
	Photo          // pictures
	Note           // what was seen or said
	Forgotten      // the customer was forgotten
	Paper          // any other document: quote, dossier, bags
)

var kindWords = []string{"", "opened", "survey", "fit", "walk", "proof", "rules", "log", "review", "visit", "swap", "photo", "note", "forgotten", "paper"}

// String is the kind's word.
func (k Kind) String() string {
	if k < 0 || int(k) >= len(kindWords) {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return kindWords[k]
}

// MarshalText gives the word.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads the word.
func (k *Kind) UnmarshalText(b []byte) error {
	for i, w := range kindWords {
		if i > 0 && w == string(b) {
			*k = Kind(i)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%q is no kind of entry", clip(string(b), 40)), Remedy: input.DidYouMean(string(b), kindWords[1:])}
}

// Fate is what became of a part that was taken off. The zero Fate is not known.
type Fate int

// The fates.
const (
	Unknown  Fate = iota // taken off, and nobody wrote where it went
	Shelf                // in the workshop, to be used again
	Returned             // sent back to who made or sold it
	Scrapped             // not to be used again
)

var fateWords = []string{"unknown", "shelf", "returned", "scrapped"}

// String is the fate's word.
func (f Fate) String() string {
	if f < 0 || int(f) >= len(fateWords) {
		return fmt.Sprintf("Fate(%d)", int(f))
	}
	return fateWords[f]
}

// MarshalText gives the word.
func (f Fate) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// UnmarshalText reads the word.
func (f *Fate) UnmarshalText(b []byte) error {
	for i, w := range fateWords {
		if w == string(b) {
			*f = Fate(i)
			return nil
		}
	}
	return input.Fault{What: fmt.Sprintf("%q does not say what became of a part", clip(string(b), 40)), Remedy: input.DidYouMean(string(b), fateWords)}
}
