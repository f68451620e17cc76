package alarm

import (
	"encoding/json"
	"fmt"
	"io"

	"runproof/input"
)

// Read reads a rules document; name is the file's name for messages.
func Read(r io.Reader, name string) (*Rules, error) {
	var d Rules
	if err := json.NewDecoder(r).Decode(&d); err != nil {
		return nil, notRules(name, "not a rules document: "+err.Error())
	}
	if d.Runproof != Version {
		return nil, notRules(name, fmt.Sprintf("document is %q, not %q", d.Runproof, Version))
	}
	for id, s := range d.Shares {
		if !(s >= 0 && s <= 1) {
			return nil, notRules(name, fmt.Sprintf("share %g of run %s is not between 0 and 1", s, id))
		}
	}
	return &d, nil
}

func notRules(name, what string) error {
	return input.Fault{Place: input.Place{File: name}, What: what, Remedy: "make one with runproof tune"}
}

// Write writes the document as indented JSON with a final newline: the same
// bytes for the same rules (maps are written in the order of their keys).
func (d *Rules) Write(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(d)
}
