package gpx

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"time"

	"runproof/flowlog"
)

var nan = math.NaN()

// The quantities of a point, in the order of columns.
const (
	lat = iota
	lon
	speed
	course
	upM
	quantities
)

var names = [quantities]string{"lat", "lon", "speed", "course", "gnss.up_m"}

// point is a trkpt. What is not given is NaN.
type point struct {
	values  [quantities]float64
	time    string
	strange int // values that cannot be
}

func newPoint(e xml.StartElement) (p point) {
	for i := range p.values {
		p.values[i] = nan
	}
	for _, a := range e.Attr {
		switch a.Name.Local {
		case "lat":
			p.set(lat, a.Value)
		case "lon":
			p.set(lon, a.Value)
		}
	}
	if p.values[lat] != p.values[lat] || p.values[lon] != p.values[lon] {
		p.values[lat], p.values[lon] = nan, nan
	}
	return p
}

// set reads a decimal number, as XML Schema has it.
func (p *point) set(q int, text string) {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || strings.ContainsAny(text, "xX_") || flowlog.ColumnNamed(names[q]).Kind.Check(v) != nil {
		p.strange++
		return
	}
	p.values[q] = v
}

// leaf takes in an element of the point that holds text; direct says that it is
// no extension.
func (p *point) leaf(name, text string, direct bool) {
	switch {
	case name == "time" && direct:
		p.time = strings.TrimSpace(text)
	case name == "ele" && direct:
		p.set(upM, text)
	case name == "speed":
		p.set(speed, text)
	case name == "course":
		p.set(course, text)
	}
}

// wanted says whether the text of an element matters.
func wanted(name string) bool {
	switch name {
	case "time", "ele", "speed", "course":
		return true
	}
	return false
}

// when is the point's time; zoned is false where it names no zone.
func (p *point) when() (ns int64, zoned, ok bool) {
	if ns, clock, err := flowlog.ParseTime(p.time); err == nil && clock == flowlog.UTC {
		return ns, true, true
	}
	t, err := time.Parse("2006-01-02T15:04:05.999999999", p.time)
	if err != nil || t.Year() < 1678 || t.Year() > 2261 {
		return 0, true, false
	}
	return t.UnixNano(), false, true
}
