// Package jsondoc reads and writes the documents that one command makes and
// another takes: fit, proof, rules, events.
//
// Each has a field runproof that says which form of document it is. Read
// refuses any other and says which command makes the right one; Write gives the
// same bytes for the same document.
package jsondoc

import (
	"encoding/json"
	"fmt"
	"io"

	"runproof/input"
)

// Form is what a reader expects.
type Form struct {
	What    string // with its article: "a proof"
	Version string // "proof/1"
	Command string // that makes one: "runproof prove"
}

// Read decodes into doc, whose field runproof is at version afterwards; name is
// the file's name. The error is an input.Fault.
func Read(r io.Reader, name string, form Form, doc any, version *string) error {
	fault := func(what string) error {
		return input.Fault{Place: input.Place{File: name}, What: what, Remedy: "make one with " + form.Command}
	}
	if err := json.NewDecoder(r).Decode(doc); err != nil {
		return fault("not " + form.What + " document: " + err.Error())
	}
	if *version != form.Version {
		return fault(fmt.Sprintf("document is %q, not %q", *version, form.Version))
	}
	return nil
}

// Write writes a document as indented JSON with a final newline.
func Write(w io.Writer, doc any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(doc)
}
