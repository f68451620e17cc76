package yamldoc

import (
	"encoding"
	"fmt"
	"reflect"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"runproof/input"
)

// Decode reads the document into the struct that v points to. Keys that the
// document lacks leave their fields alone, so that v may hold defaults.
// Faults are collected; see Err.
func (d *Document) Decode(v any) {
	d.value(d.root, reflect.ValueOf(v).Elem(), field{key: "document", limits: noLimits}, nil)
}

// value reads node n into v, which stands at path under the key of f.
func (d *Document) value(n ast.Node, v reflect.Value, f field, path []any) {
	if n.Type() == ast.NullType {
		return
	}
	d.record(n, path)
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	switch t := v.Addr().Interface().(type) {
	case ItemsUnmarshaler:
		d.items(n, t, f, path)
		return
	case encoding.TextUnmarshaler:
		d.text(n, t, f, path)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		d.mapping(n, v, f, path)
	case reflect.Slice:
		d.sequence(n, v, f, path)
	case reflect.Map:
		d.table(n, v, f, path)
	default:
		d.scalar(n, v, f, path)
	}
}

// mapping reads the keys of a struct.
func (d *Document) mapping(n ast.Node, v reflect.Value, f field, path []any) {
	entries, ok := d.entries(n, f, path)
	if !ok {
		return
	}
	fields := fieldsOf(v.Type())
	seen := make(map[string]input.Place)
	for _, e := range entries {
		key, at := keyText(e), d.at(e.Key)
		i := indexOf(fields, key)
		if i < 0 {
			d.unknownKey(e, key, at, v.Type(), fields)
			continue
		}
		if first, twice := seen[key]; twice {
			d.faults.Add(at, fmt.Sprintf("keep one of them (the other is on line %d)", first.Line), "key %s stands twice", key)
			continue
		}
		seen[key] = at
		d.value(e.Value, v.Field(fields[i].index), fields[i], extend(path, key))
	}
	for _, g := range fields {
		if inner := extend(path, g.key); g.required && !d.Has(inner...) {
			d.bad(inner, d.At(path...), "", "key %s is missing%s", g.key, inPart(path))
		}
	}
}

// entries are the keys and values of a mapping node.
func (d *Document) entries(n ast.Node, f field, path []any) ([]*ast.MappingValueNode, bool) {
	switch m := n.(type) {
	case *ast.MappingNode:
		return m.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{m}, true
	}
	remedy := "write {key: value, ...}, or key: value lines under it"
	if s, ok := n.(*ast.StringNode); ok && strings.Contains(s.Value, ":") {
		remedy = "put a space behind each colon"
	}
	d.bad(path, d.at(n), remedy, "%s must be keys with values, not %s", f.key, describe(n))
	return nil, false
}

func (d *Document) unknownKey(e *ast.MappingValueNode, key string, at input.Place, t reflect.Type, fields []field) {
	// {rows: 13-18, 20} and {spacing_m: 0,25}: the comma ended the value.
	if e.Value.Type() == ast.NullType && strings.Trim(key, "0123456789-. ") == "" {
		d.faults.Add(at, `put a list of rows in quotes ("13-18, 20"), and write decimals with a point`, "%s stands alone behind a comma", key)
		return
	}
	remedy := input.DidYouMean(key, keysOf(fields))
	if home := homeOf(key, t); home != "" {
		remedy = "it belongs under " + home
	}
	d.faults.Add(at, remedy, "unknown key %q", key)
}

// sequence reads a list.
func (d *Document) sequence(n ast.Node, v reflect.Value, f field, path []any) {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		d.bad(path, d.at(n), fmt.Sprintf("write %s: [...], or lines that begin with a dash", f.key), "%s must be a list, not %s", f.key, describe(n))
		return
	}
	list := reflect.MakeSlice(v.Type(), len(s.Values), len(s.Values))
	for i, item := range s.Values {
		if item.Type() == ast.NullType {
			d.bad(path, d.at(item), "write a value behind the dash or comma, or take it away", "%s has an empty place", f.key)
			continue
		}
		d.value(item, list.Index(i), f, extend(path, i))
	}
	v.Set(list)
}

// table reads a map whose keys a person chooses.
func (d *Document) table(n ast.Node, v reflect.Value, f field, path []any) {
	entries, ok := d.entries(n, f, path)
	if !ok {
		return
	}
	v.Set(reflect.MakeMap(v.Type()))
	for _, e := range entries {
		key := reflect.ValueOf(keyText(e)).Convert(v.Type().Key())
		if v.MapIndex(key).IsValid() {
			d.faults.Add(d.at(e.Key), "keep one of them", "key %s stands twice", keyText(e))
			continue
		}
		elem := reflect.New(v.Type().Elem()).Elem()
		d.value(e.Value, elem, f, extend(path, keyText(e)))
		v.SetMapIndex(key, elem)
	}
}

func keyText(e *ast.MappingValueNode) string {
	if s, ok := e.Key.(*ast.StringNode); ok {
		return s.Value
	}
	return e.Key.GetToken().Value
}

func indexOf(fields []field, key string) int {
	for i, f := range fields {
		if f.key == key {
			return i
		}
	}
	return -1
}

// extend copies, because paths of siblings would share memory.
func extend(path []any, step any) []any {
	return append(append(make([]any, 0, len(path)+1), path...), step)
}

// inPart names the nearest key around a value, for messages about what is
// missing there.
func inPart(path []any) string {
	for i := len(path) - 1; i >= 0; i-- {
		if key, ok := path[i].(string); ok {
			return " in " + key
		}
	}
	return ""
}

func describe(n ast.Node) string {
	switch t := n.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "keys with values"
	case *ast.SequenceNode:
		return "a list"
	case *ast.StringNode:
		return fmt.Sprintf("the text %q", clip(t.Value))
	}
	return n.GetToken().Value
}

// clip keeps a quoted text short enough for a message.
func clip(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}
