package drill

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxID is how long an id may be, in letters.
const maxID = 24

// idFault says what is wrong with an id, or "". Ids become columns of logs
// (sec:S1), parts of run ids (C-7) and names of files: they hold letters of any
// script, digits, and _ . - behind the first. A hyphen inside a head's id does
// no harm: the outlet is what follows the last one.
func idFault(id string) string {
	switch n := utf8.RuneCountInString(id); {
	case n == 0:
		return "is empty"
	case n > maxID:
		return "is too long"
	}
	for i, r := range id {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || i > 0 && strings.ContainsRune(".-", r) {
			continue
		}
		if unicode.IsSpace(r) {
			return "has a space in it"
		}
		return "has " + string(r) + " in it"
	}
	return ""
}
