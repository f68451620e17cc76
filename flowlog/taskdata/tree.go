package taskdata

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"
)

// Element is a part of a device: the device itself, a function, a bin, a
// section.
type Element struct {
	ID     string // DET-5
	Name   string
	Object int // number within the device
	Parent int // object number of what it belongs to
	Number int
	Type   ElementType
	refs   []int // object numbers of its properties and process data
}

// ElementType is the kind of an element, attribute C of DET.
type ElementType int

// The kinds of element.
const (
	DeviceElement   ElementType = 1
	FunctionElement ElementType = 2
	BinElement      ElementType = 3
	SectionElement  ElementType = 4
	UnitElement     ElementType = 5
	ConnectorElem   ElementType = 6
	NavigationElem  ElementType = 7
)

// Device is a machine that the set describes.
type Device struct {
	ID       string // DVC-1
	Name     string
	Elements []Element
	props    map[int]property // by object number
}

type property struct {
	ddi   DDI
	value int
}

// Property is the value of an element's property, in the standard's raw unit.
func (d *Device) Property(e *Element, which DDI) (raw int, ok bool) {
	for _, ref := range e.refs {
		if p, has := d.props[ref]; has && p.ddi == which {
			return p.value, true
		}
	}
	return 0, false
}

// Sections are the sections and units under an element, from left to right: by
// their offsets to the right where each has one, else by their numbers.
func (d *Device) Sections(parent *Element) []*Element {
	var found []*Element
	placed := true
	right := map[*Element]int{}
	for i := range d.Elements {
		e := &d.Elements[i]
		if e.Parent != parent.Object || e == parent || e.Type != SectionElement && e.Type != UnitElement {
			continue
		}
		found = append(found, e)
		y, ok := d.Property(e, OffsetY)
		right[e] = y
		placed = placed && ok
	}
	slices.SortStableFunc(found, func(a, b *Element) int {
		if placed && right[a] != right[b] {
			return cmp.Compare(right[a], right[b])
		}
		return cmp.Compare(a.Number, b.Number)
	})
	return found
}

// logRef is a time log that a task names.
type logRef struct {
	name, task string
	bytes      int64 // of its records; 0 where the task does not say
}

// tree is what TASKDATA.XML and the files it pulls in say.
type tree struct {
	devices []Device
	logs    []logRef
	pulls   []string // names of further files, without their ends
}

// maxXML is the most that one XML file may hold, in bytes.
const maxXML = 64 << 20

// read takes in one file. The error tells where the XML breaks off; what stands
// before it has been taken in.
func (t *tree) read(src io.Reader) error {
	limited := &io.LimitedReader{R: src, N: maxXML}
	dec := newDecoder(limited)
	task := ""
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			if limited.N == 0 {
				return fmt.Errorf("the file is longer than %d MiB", maxXML>>20)
			}
			return nil
		}
		if err != nil {
			return brokenXML(dec, err)
		}
		start, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		if start.Name.Local == "TSK" {
			task = attr(start, "B")
		}
		t.element(start, task)
	}
}

// brokenXML is a syntax error with its line.
func brokenXML(dec *xml.Decoder, err error) error {
	line, col := dec.InputPos()
	var s *xml.SyntaxError
	if errors.As(err, &s) {
		err = errors.New(s.Msg)
	}
	return fmt.Errorf("line %d, column %d: %w", line, col, err)
}

// newDecoder reads XML in whatever characters it is written. Two bytes for each
// is seen from the first bytes; the rest is believed to be as it says.
func newDecoder(src io.Reader) *xml.Decoder {
	b := bufio.NewReader(src)
	first, _ := b.Peek(4)
	wide := encoding.Encoding(nil)
	switch {
	case bytes.HasPrefix(first, []byte("\xff\xfe")), bytes.Equal(first, []byte("<\x00?\x00")):
		wide = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
		if first[0] == '<' {
			wide = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
		}
	case bytes.HasPrefix(first, []byte("\xfe\xff")), bytes.Equal(first, []byte("\x00<\x00?")):
		wide = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
		if first[0] != 0 {
			wide = unicode.UTF16(unicode.BigEndian, unicode.UseBOM)
		}
	}
	src = b
	if wide != nil {
		src = wide.NewDecoder().Reader(b)
	}
	dec := xml.NewDecoder(src)
	dec.Strict = false
	dec.CharsetReader = func(label string, r io.Reader) (io.Reader, error) {
		if wide != nil {
			return r, nil // made one byte above
		}
		enc, err := htmlindex.Get(label)
		if err != nil {
			return nil, err
		}
		return enc.NewDecoder().Reader(r), nil
	}
	return dec
}

// element takes in one element; task is the name of the task it stands in.
func (t *tree) element(x xml.StartElement, task string) {
	switch x.Name.Local {
	case "DVC":
		t.devices = append(t.devices, Device{ID: attr(x, "A"), Name: attr(x, "B"), props: map[int]property{}})
	case "TLG":
		t.logs = append(t.logs, logRef{attr(x, "A"), task, int64(number(x, "B"))})
	case "XFR":
		t.pulls = append(t.pulls, attr(x, "A"))
	case "DET", "DOR", "DPT", "DPD":
		if len(t.devices) > 0 {
			t.devices[len(t.devices)-1].element(x)
		}
	}
}

func (d *Device) element(x xml.StartElement) {
	switch x.Name.Local {
	case "DET":
		d.Elements = append(d.Elements, Element{
			ID: attr(x, "A"), Name: attr(x, "D"), Object: number(x, "B"), Type: ElementType(number(x, "C")),
			Number: number(x, "E"), Parent: number(x, "F"),
		})
	case "DOR":
		if n := len(d.Elements); n > 0 {
			d.Elements[n-1].refs = append(d.Elements[n-1].refs, number(x, "A"))
		}
	case "DPT":
		if ddi, ok := parseDDI(attr(x, "B")); ok {
			d.props[number(x, "A")] = property{ddi, number(x, "C")}
		}
	}
}

func attr(x xml.StartElement, name string) string {
	v, _ := lookup(x, name)
	return v
}

func lookup(x xml.StartElement, name string) (string, bool) {
	for _, a := range x.Attr {
		if a.Name.Local == name {
			return strings.TrimSpace(a.Value), true
		}
	}
	return "", false
}

func number(x xml.StartElement, name string) int {
	v, _ := strconv.Atoi(attr(x, name))
	return v
}
