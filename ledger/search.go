package ledger

import (
	"slices"
	"strings"
)

// SearchText is what a job is found by: handle, title, customer, the names of its
// drill, and every serial number that was ever on it; small letters, each once.
func SearchText(es []Entry, c Customer) string {
	var words []string
	add := func(s string) {
		if s = strings.Join(Terms(s), " "); s != "" && !slices.Contains(words, s) {
			words = append(words, s)
		}
	}
	for _, e := range Sorted(es) {
		if e.Opening != nil {
			add(e.Opening.Handle)
			add(e.Opening.Title)
		}
		if e.Revision != nil {
			add(e.Revision.Drill)
		}
		for _, s := range SerialsOf(e) {
			add(s)
		}
	}
	add(c.Name)
	add(c.Reach)
	return strings.Join(words, "\n")
}

// Terms are the words that a search asks for: small letters, parted at spaces. A
// job is found when its SearchText holds all of them, anywhere.
func Terms(s string) []string { return strings.Fields(strings.ToLower(s)) }
