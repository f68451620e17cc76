package input

import (
	"fmt"
	"slices"
	"strings"
)

// DidYouMean is the remedy for a word that is not among the valid ones: the
// nearest of them where one is near, else all of them.
func DidYouMean(word string, valid []string) string {
	if near, ok := Nearest(word, valid); ok {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return "use " + OneOf(valid)
}

// OneOf lists words as a sentence does: "a, b or c".
func OneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// Word sets to to the place of a word among the valid ones. The error is a Fault
// whose text is fault with the word in its %q.
func Word[T ~int](to *T, word []byte, valid []string, fault string) error {
	at := slices.Index(valid, string(word))
	if at < 0 {
		return Fault{What: fmt.Sprintf(fault, word), Remedy: DidYouMean(string(word), valid)}
	}
	*to = T(at)
	return nil
}
