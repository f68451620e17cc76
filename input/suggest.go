package input

import (
	"fmt"
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
