package yamldoc

import (
	"fmt"

	"github.com/goccy/go-yaml/ast"

	"runproof/input"
)

// WantVersion checks that the key runproof says which form of document this
// is. A document of another form would only give misleading faults.
func (d *Document) WantVersion(want string) error {
	at := input.Place{File: d.file}
	m, ok := d.root.(*ast.MappingNode)
	if !ok {
		return oneFault(d.at(d.root), fmt.Sprintf("begin with runproof: %s, and put a space behind each colon", want), "a description is made of keys with values, not %s", describe(d.root))
	}
	for _, e := range m.Values {
		if keyText(e) != "runproof" {
			continue
		}
		if text, ok := scalarText(e.Value); !ok || text != want {
			return oneFault(d.at(e.Value), fmt.Sprintf("this program reads %s", want), "the document is %s, not %s", describe(e.Value), want)
		}
		return nil
	}
	return oneFault(at, fmt.Sprintf("begin with runproof: %s", want), "the document does not say what it is: key runproof is missing")
}
