package yamldoc

import (
	"math"
	"reflect"
	"strconv"
	"strings"
)

// field is what the tags of a struct field say of its key.
type field struct {
	key      string
	index    int
	required bool
	limits   limits
}

// limits are those of a number, from its field's jsonschema tag.
type limits struct {
	lo, hi float64
	above  bool // lo itself is not allowed
}

var noLimits = limits{lo: math.Inf(-1), hi: math.Inf(1)}

func (l limits) hold(v float64) bool {
	return v <= l.hi && v >= l.lo && !(l.above && v == l.lo)
}

// String says which numbers are right: "1 to 400", "over 0, at most 2000".
func (l limits) String() string {
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	switch {
	case math.IsInf(l.hi, 1) && l.above:
		return "over " + num(l.lo)
	case math.IsInf(l.hi, 1):
		return "at least " + num(l.lo)
	case math.IsInf(l.lo, -1):
		return "at most " + num(l.hi)
	case l.above:
		return "over " + num(l.lo) + ", at most " + num(l.hi)
	}
	return num(l.lo) + " to " + num(l.hi)
}

// fieldsOf lists the keys of a struct type in the order of its fields. Fields
// without a json name are not read.
func fieldsOf(t reflect.Type) []field {
	var fs []field
	for i := range t.NumField() {
		key, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if key == "" || key == "-" || !t.Field(i).IsExported() {
			continue
		}
		f := field{key: key, index: i, limits: noLimits}
		for rule := range strings.SplitSeq(t.Field(i).Tag.Get("jsonschema"), ",") {
			f.rule(rule)
		}
		fs = append(fs, f)
	}
	return fs
}

// rule takes one part of the jsonschema tag. Parts that only an editor needs
// are passed over.
func (f *field) rule(rule string) {
	word, text, _ := strings.Cut(rule, "=")
	number := func() float64 {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			panic("yamldoc: tag of " + f.key + ": " + err.Error())
		}
		return v
	}
	switch word {
	case "required":
		f.required = true
	case "minimum":
		f.limits.lo = number()
	case "exclusiveMinimum":
		f.limits.lo, f.limits.above = number(), true
	case "maximum":
		f.limits.hi = number()
	}
}

func keysOf(fs []field) []string {
	keys := make([]string, len(fs))
	for i, f := range fs {
		keys[i] = f.key
	}
	return keys
}

// homeOf is the key of a field whose struct (or list of structs) has the key
// that was found too far out, or "".
func homeOf(key string, t reflect.Type) string {
	for _, f := range fieldsOf(t) {
		inner := t.Field(f.index).Type
		for inner.Kind() == reflect.Slice || inner.Kind() == reflect.Pointer {
			inner = inner.Elem()
		}
		if inner.Kind() != reflect.Struct {
			continue
		}
		for _, g := range fieldsOf(inner) {
			if g.key == key {
				return f.key
			}
		}
	}
	return ""
}
