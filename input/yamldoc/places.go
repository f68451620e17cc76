package yamldoc

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"runproof/input"
)

// maxFaults bounds how many faults are listed: a person mends and runs again.
const maxFaults = 100

// At is where the value at the path of keys (string) and list indexes (int,
// from 0) stands. What is not there stands where the value around it does.
func (d *Document) At(path ...any) input.Place {
	for n := len(path); n >= 0; n-- {
		if p, ok := d.places[join(path[:n])]; ok {
			return p.at
		}
	}
	return input.Place{File: d.file}
}

// Has tells whether the document has a value, null apart, at the path.
func (d *Document) Has(path ...any) bool {
	_, ok := d.places[join(path)]
	return ok
}

// Sound tells whether the value at the path was read without a fault. What is
// not there is sound.
func (d *Document) Sound(path ...any) bool { return !d.places[join(path)].bad }

// Items are the scalars from which an ItemsUnmarshaler at the path was read.
func (d *Document) Items(path ...any) []Item { return d.places[join(path)].items }

// Fault adds a fault found by the caller.
func (d *Document) Fault(at input.Place, remedy, what string, args ...any) {
	d.faults.Add(at, remedy, what, args...)
}

// Full tells that more faults were found than Err lists: a caller may stop
// looking.
func (d *Document) Full() bool { return len(d.faults) > maxFaults }

// Err is all faults in the order of their places, or nil.
func (d *Document) Err() error {
	d.faults.Sort()
	if len(d.faults) <= maxFaults {
		return d.faults.Err()
	}
	few := d.faults[:maxFaults:maxFaults]
	few.Add(few[maxFaults-1].Place, "mend these first", "%d more faults follow", len(d.faults)-maxFaults)
	return few
}

func join(path []any) string {
	parts := make([]string, len(path))
	for i, p := range path {
		parts[i] = fmt.Sprint(p)
	}
	return strings.Join(parts, "\x00")
}

// at is the place of a node's first character. A mapping's own token is the
// first colon, or the brace.
func (d *Document) at(n ast.Node) input.Place {
	p := input.Place{File: d.file}
	if m, ok := n.(*ast.MappingNode); ok && !m.IsFlowStyle && len(m.Values) > 0 {
		n = m.Values[0].Key
	}
	if tk := n.GetToken(); tk != nil && tk.Position != nil {
		p.Line, p.Col = tk.Position.Line, tk.Position.Column
	}
	return p
}

func (d *Document) record(n ast.Node, path []any) {
	d.places[join(path)] = place{at: d.at(n)}
}

// bad adds a fault of the value at the path and marks the value as not read.
func (d *Document) bad(path []any, at input.Place, remedy, what string, args ...any) {
	key := join(path)
	p := d.places[key]
	p.bad = true
	d.places[key] = p
	d.faults.Add(at, remedy, what, args...)
}
