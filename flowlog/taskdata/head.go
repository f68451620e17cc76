package taskdata

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// head is the XML of a time log: what each of its records holds. Only an
// attribute that stands there empty is in the records; one with a value is the
// same for all of them.
type head struct {
	position []posField
	fixed    [posFields]float64 // positions that hold for the whole log, NaN where none
	values   []processValue
}

// posField is an attribute of PTN.
type posField int

// The attributes of PTN, A to I.
const (
	north posField = iota
	east
	up
	status
	pdop
	hdop
	satellites
	gnssTime
	gnssDate
	posFields
)

// posLayout is how the attributes of PTN are stored, A to I, and what they mean.
var posLayout = [posFields]struct {
	bytes int
	unit  float64 // raw units in one
	none  int64   // raw value of "not available"
	name  string  // of the column
}{
	north:      {4, 1e7, 0x7fffffff, "lat"},
	east:       {4, 1e7, 0x7fffffff, "lon"},
	up:         {4, 1e3, 0x7fffffff, "gnss.up_m"},
	status:     {1, 1, -1, "gnss.status"},
	pdop:       {2, 10, 0xffff, "gnss.pdop"},
	hdop:       {2, 10, 0xffff, "gnss.hdop"},
	satellites: {1, 1, 0xff, "gnss.satellites"},
	gnssTime:   {4, 1, 0xffffffff, "gnss.unix_s"},
	gnssDate:   {2, 1, 0xffff, ""},
}

// processValue is one DLV of the head.
type processValue struct {
	ddi     DDI
	element string
	stored  bool // in the records
	fixed   int32
	isFixed bool
}

// name is the column's, but for the place behind it where a pair comes twice.
func (v processValue) name() string { return v.ddi.String() + ":" + v.element }

// maxValues is the most values that the one-byte places of records can tell
// apart.
const maxValues = 256

// readHead reads the XML of a time log. When it breaks off behind the first
// value, what stands before holds, and broken tells where.
func readHead(src io.Reader) (h *head, broken error, err error) {
	const maxHead = 4 << 20
	dec := newDecoder(io.LimitReader(src, maxHead))
	h = &head{}
	for i := range h.fixed {
		h.fixed[i] = nan
	}
	timed, closed := false, false
	for broken == nil {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			broken = brokenXML(dec, err)
			break
		}
		switch x := tok.(type) {
		case xml.EndElement:
			closed = closed || x.Name.Local == "TIM"
		case xml.StartElement:
			switch x.Name.Local {
			case "TIM":
				v, has := lookup(x, "A")
				timed = has && v == ""
			case "PTN":
				h.ptn(x)
			case "DLV":
				h.dlv(x)
			}
		}
	}
	if broken == nil && !closed {
		broken = errors.New("its end is missing")
	}
	switch {
	case broken != nil && len(h.values) == 0:
		return nil, nil, fmt.Errorf("its head breaks off before its records are described: %w", broken)
	case !timed:
		return nil, nil, errors.New("its records carry no time")
	case len(h.values) > maxValues:
		return nil, nil, fmt.Errorf("its head names %d values, but a record can tell %d apart", len(h.values), maxValues)
	}
	return h, broken, nil
}

func (h *head) ptn(x xml.StartElement) {
	for f := range posFields {
		v, has := lookup(x, string(rune('A'+f)))
		if has && v == "" {
			h.position = append(h.position, f)
		} else if n, err := strconv.ParseFloat(v, 64); err == nil {
			h.fixed[f] = n
		}
	}
}

func (h *head) dlv(x xml.StartElement) {
	ddi, _ := parseDDI(attr(x, "A"))
	v := processValue{ddi: ddi, element: attr(x, "C")}
	raw, has := lookup(x, "B")
	if n, err := strconv.ParseInt(raw, 10, 32); err == nil {
		v.fixed, v.isFixed = int32(n), true
	}
	v.stored = has && raw == ""
	h.values = append(h.values, v)
}

// recordHead is the number of bytes of a record before its values.
func (h *head) recordHead() int {
	n := 6 + 1
	for _, f := range h.position {
		n += posLayout[f].bytes
	}
	return n
}
