package tasks

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"
	"unicode/utf8"
)

// element is an element of TASKDATA.XML: its name, its attributes from A on, and
// what stands in it.
type element struct {
	tag  string
	attr []attribute
	in   []*element
}

type attribute struct{ name, value string }

func el(tag string) *element { return &element{tag: tag} }

// with adds an attribute.
func (e *element) with(name, value string) *element {
	e.attr = append(e.attr, attribute{name, value})
	return e
}

// num adds an attribute that is a whole number.
func (e *element) num(name string, v int) *element { return e.with(name, strconv.Itoa(v)) }

// said adds an attribute where there is something to say.
func (e *element) said(name, value string) *element {
	if value == "" {
		return e
	}
	return e.with(name, value)
}

func (e *element) add(in ...*element) *element {
	e.in = append(e.in, in...)
	return e
}

// write writes the element and what is in it, indented.
func (e *element) write(b *bytes.Buffer, depth int) {
	indent := strings.Repeat(" ", depth)
	b.WriteString(indent + "<" + e.tag)
	for _, a := range e.attr {
		b.WriteString(" " + a.name + `="`)
		xml.EscapeText(b, []byte(a.value))
		b.WriteByte('"')
	}
	if len(e.in) == 0 {
		b.WriteString("/>\n")
		return
	}
	b.WriteString(">\n")
	for _, in := range e.in {
		in.write(b, depth+1)
	}
	b.WriteString(indent + "</" + e.tag + ">\n")
}

// maxDesignator is the most letters of a name (schema V4.3).
const maxDesignator = 32

// designator is a name within its limit, without what XML cannot hold.
func designator(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0xfffe || r == 0xffff || r == utf8.RuneError {
			return -1
		}
		return r
	}, strings.TrimSpace(s))
	if r := []rune(s); len(r) > maxDesignator {
		return strings.TrimSpace(string(r[:maxDesignator]))
	}
	return s
}
