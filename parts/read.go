package parts

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"reflect"
	"strings"
	"unicode"

	"runproof/input/yamldoc"
)

// Version is the document version that a parts.yaml may name.
const Version = "parts/1"

//go:embed builtin.yaml
var builtin []byte

// BuiltIn returns the generic catalogue.
func BuiltIn() Catalogue {
	c, err := Catalogue{}.With(bytes.NewReader(builtin), "builtin.yaml")
	if err != nil {
		panic(err) // a fault of the program, seen by its first test
	}
	return c
}

// file is a parts.yaml.
type file struct {
	Runproof string `json:"runproof"` // parts/1; may be absent
	Parts    []Part `json:"parts" jsonschema:"required"`
}

// With returns the catalogue with the parts of a parts.yaml: an entry whose id
// is known changes what it says and keeps the rest, others are added behind.
// name is the file's name for messages. The error is input.Faults with every
// fault of the document, or what r returned. c is not changed.
func (c Catalogue) With(r io.Reader, name string) (Catalogue, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Catalogue{}, err
	}
	var f file
	doc.Decode(&f)
	if doc.Has("runproof") && f.Runproof != Version {
		doc.Fault(doc.At("runproof"), "this program reads "+Version, "the document is %q, not %s", f.Runproof, Version)
	}
	m := merger{doc: doc, seen: make(map[string]int)}
	m.out.Parts = append(m.out.Parts, c.Parts...)
	for i, p := range f.Parts {
		m.add(i, p)
	}
	if err := doc.Err(); err != nil {
		return Catalogue{}, err
	}
	return m.out, nil
}

// merger puts the entries of a document into a catalogue.
type merger struct {
	doc  *yamldoc.Document
	seen map[string]int // line of each id
	out  Catalogue
}

func (m *merger) add(i int, p Part) {
	if !m.doc.Has("parts", i, "id") || !m.doc.Sound("parts", i, "id") {
		return
	}
	at := m.doc.At("parts", i, "id")
	if why := idFault(p.ID); why != "" {
		m.doc.Fault(at, "use letters, digits, and _ . - behind the first, at most 40 of them", "part id %q %s", p.ID, why)
		return
	}
	if line, twice := m.seen[p.ID]; twice {
		m.doc.Fault(at, "keep one of them", "part %s stands twice, first on line %d", p.ID, line)
		return
	}
	m.seen[p.ID] = at.Line
	m.kept(i, p)
}

// kept adds the part, or changes the one that has its id, and checks that the
// outcome carries what its kind needs.
func (m *merger) kept(i int, p Part) {
	k := len(m.out.Parts)
	for j, old := range m.out.Parts {
		if old.ID != p.ID {
			continue
		}
		if p.Kind != KindUnsaid && p.Kind != old.Kind {
			m.doc.Fault(m.doc.At("parts", i, "kind"), "give the new part another id", "part %s is a %s in the catalogue, not a %s", p.ID, old.Kind, p.Kind)
			return
		}
		p, k = m.changed(i, old, p), j
	}
	for _, key := range needs[p.Kind] {
		if m.doc.Sound("parts", i, key) && fieldOf(&p, key).IsZero() {
			m.doc.Fault(m.doc.At("parts", i), fmt.Sprintf("add %s: ...", key), "part %s is a %s and lacks %s", p.ID, p.Kind, key)
		}
	}
	if k == len(m.out.Parts) {
		m.out.Parts = append(m.out.Parts, p)
	} else {
		m.out.Parts[k] = p
	}
}

// changed is the old part with what the entry says.
func (m *merger) changed(i int, old, p Part) Part {
	t := reflect.TypeFor[Part]()
	for f := range t.NumField() {
		if key := keyOf(t.Field(f)); m.doc.Has("parts", i, key) {
			fieldOf(&old, key).Set(fieldOf(&p, key))
		}
	}
	return old
}

func keyOf(f reflect.StructField) string {
	key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return key
}

// fieldOf is the field of the part that has the key.
func fieldOf(p *Part, key string) reflect.Value {
	v := reflect.ValueOf(p).Elem()
	for f := range v.NumField() {
		if keyOf(v.Type().Field(f)) == key {
			return v.Field(f)
		}
	}
	panic("parts: no field has the key " + key)
}

const maxID = 40

// idFault says what is wrong with an id, or "".
func idFault(id string) string {
	if id == "" {
		return "is empty"
	}
	if len([]rune(id)) > maxID {
		return "is too long"
	}
	for i, r := range id {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '_' && (i == 0 || !strings.ContainsRune(".-", r)) {
			return fmt.Sprintf("has %q in it", r)
		}
	}
	return ""
}
