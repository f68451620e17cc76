package yamldoc

import (
	"encoding"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"runproof/input"
)

// Item is one scalar of a list, as written.
type Item struct {
	Text string
	At   input.Place
}

// ItemsUnmarshaler is a value that a person may write as one scalar or as a
// list of scalars. The faults it returns stand at the items' places.
type ItemsUnmarshaler interface {
	UnmarshalItems(items []Item) input.Faults
}

func (d *Document) items(n ast.Node, v ItemsUnmarshaler, f field, path []any) {
	nodes := []ast.Node{n}
	if s, ok := n.(*ast.SequenceNode); ok {
		nodes = s.Values
	}
	items := make([]Item, 0, len(nodes))
	for _, item := range nodes {
		text, ok := scalarText(item)
		if !ok {
			d.bad(path, d.at(item), "write plain values between commas", "%s must be a list of values, and %s is none", f.key, describe(item))
			continue
		}
		items = append(items, Item{text, d.at(item)})
	}
	for _, fault := range v.UnmarshalItems(items) {
		d.bad(path, fault.Place, fault.Remedy, "%s", fault.What)
	}
	p := d.places[join(path)]
	p.items = items
	d.places[join(path)] = p
}

// text reads a kind or an id. An error that is an input.Fault brings its own
// remedy.
func (d *Document) text(n ast.Node, v encoding.TextUnmarshaler, f field, path []any) {
	s, ok := scalarText(n)
	if !ok {
		d.bad(path, d.at(n), "write one word", "%s must be a word, not %s", f.key, describe(n))
		return
	}
	err := v.UnmarshalText([]byte(s))
	if err == nil {
		return
	}
	var fault input.Fault
	if !errors.As(err, &fault) {
		fault.What = err.Error()
	}
	d.bad(path, d.at(n), fault.Remedy, "%s: %s", f.key, fault.What)
}

// scalar reads a text, a number, or true and false.
func (d *Document) scalar(n ast.Node, v reflect.Value, f field, path []any) {
	s, ok := scalarText(n)
	if !ok {
		d.bad(path, d.at(n), "write one value", "%s must be one value, not %s", f.key, describe(n))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(s)
	case reflect.Bool:
		b, ok := n.(*ast.BoolNode)
		if !ok {
			d.bad(path, d.at(n), "write true or false, without quotes", "%s must be true or false, not %s", f.key, describe(n))
			return
		}
		v.SetBool(b.Value)
	case reflect.Int, reflect.Int64, reflect.Uint64, reflect.Float64:
		d.number(n, s, v, f, path)
	default:
		panic(fmt.Sprintf("yamldoc: field %s has the kind %v, which is not read", f.key, v.Kind()))
	}
}

func (d *Document) number(n ast.Node, s string, v reflect.Value, f field, path []any) {
	x, err := parseNumber(s)
	if err != nil || isQuoted(n) {
		d.bad(path, d.at(n), d.numberRemedy(f, s, isQuoted(n) && err == nil), "%s must be a number, not %s", f.key, describe(n))
		return
	}
	if !f.limits.hold(x) {
		d.bad(path, d.at(n), d.hint(f, s), "%s is %s; it must be %s", f.key, s, f.limits)
		return
	}
	if v.CanFloat() {
		v.SetFloat(x)
		return
	}
	// 2^53: beyond it a float64 skips whole numbers.
	if x != math.Trunc(x) || math.Abs(x) > 1<<53 || v.CanUint() && x < 0 {
		d.bad(path, d.at(n), "", "%s is %s; it must be a whole number", f.key, s)
		return
	}
	if v.CanUint() {
		v.SetUint(uint64(x))
		return
	}
	v.SetInt(int64(x))
}

// parseNumber takes decimal numbers only: no hexadecimal, no infinity, no NaN,
// no underscores.
func parseNumber(s string) (float64, error) {
	if strings.Trim(s, "+-.0123456789eE") != "" {
		return 0, strconv.ErrSyntax
	}
	x, err := strconv.ParseFloat(s, 64)
	if err == nil && math.IsInf(x, 0) {
		err = strconv.ErrRange
	}
	return x, err
}

func (d *Document) numberRemedy(f field, s string, onlyQuoted bool) string {
	if onlyQuoted {
		return "take the quotes away"
	}
	if point := strings.Replace(s, ",", ".", 1); point != s {
		if _, err := parseNumber(point); err == nil {
			return fmt.Sprintf("write %s, with a point", point)
		}
	}
	if hint := d.hint(f, s); hint != "" {
		return hint
	}
	return "write a number like 12 or 0.25, without a unit"
}

func (d *Document) hint(f field, s string) string {
	if d.Hint == nil {
		return ""
	}
	return d.Hint(f.key, s, f.limits.lo, f.limits.hi)
}

func isQuoted(n ast.Node) bool {
	s, ok := n.(*ast.StringNode)
	return ok && (s.Token.Type == token.DoubleQuoteType || s.Token.Type == token.SingleQuoteType)
}

// scalarText is the text of a scalar as written, without quotes.
func scalarText(n ast.Node) (string, bool) {
	switch t := n.(type) {
	case *ast.StringNode:
		return t.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.NanNode, *ast.InfinityNode:
		return n.GetToken().Value, true
	}
	return "", false
}
