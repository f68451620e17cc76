// Package jsondoc reads and writes the documents that one command makes and
// another takes: fit, proof, rules, events.
//
// Each has a field runproof that says which form of document it is. Read
// refuses any other and says which command makes the right one; Write gives the
// same bytes for the same document.
package jsondoc

import (
	"bytes"
	"encoding/json"
	"errors"
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
// the file's name. The error is an input.Fault with the place where reading
// stopped, or what r returned.
func Read(r io.Reader, name string, form Form, doc any, version *string) error {
	text, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	remedy := "make one with " + form.Command
	if err := json.NewDecoder(bytes.NewReader(text)).Decode(doc); err != nil {
		return input.Fault{Place: Place(name, text, err), What: "not " + form.What + " document: " + err.Error(), Remedy: remedy}
	}
	if *version != form.Version {
		return input.Fault{Place: input.Place{File: name}, What: fmt.Sprintf("document is %q, not %q", *version, form.Version), Remedy: remedy}
	}
	return nil
}

// Place is where in the text encoding/json met the error: line and column of
// the byte at which it stopped, in bytes from 1; only the file's name where the
// error does not tell.
func Place(name string, text []byte, err error) input.Place {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	at := int64(-1)
	switch {
	case errors.As(err, &syntax):
		at = syntax.Offset
	case errors.As(err, &kind):
		at = kind.Offset
	case errors.Is(err, io.ErrUnexpectedEOF):
		at = int64(len(text))
	}
	if at <= 0 || at > int64(len(text)) {
		return input.Place{File: name}
	}
	return At(name, text, int(at-1))
}

// At is the line and column of a byte of the text, in bytes from 1.
func At(name string, text []byte, offset int) input.Place {
	before := text[:offset]
	return input.Place{File: name, Line: 1 + bytes.Count(before, []byte("\n")), Col: len(before) - bytes.LastIndexByte(before, '\n')}
}

// Write writes a document as indented JSON with a final newline.
func Write(w io.Writer, doc any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(doc)
}
