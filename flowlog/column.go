package flowlog

import (
	"strconv"
	"strings"

	"runproof/drill"
	"runproof/fit"
)

// Kind is what a column holds. The zero value is Other: kept, not understood.
type Kind int

// The kinds of column.
const (
	Other   Kind = iota // kept under its name
	Port                // particles counted since the line before
	Lat                 // latitude of the antenna, degrees, WGS 84
	Lon                 // longitude of the antenna, degrees, WGS 84
	Speed               // m/s
	Course              // degrees from true north, clockwise
	Work                // 1 in the ground, 0 lifted
	Section             // 1 open, 0 closed
)

// Column says what one column of a log holds.
type Column struct {
	Kind    Kind
	Name    string          // as written in the file's head: "4103:7", "lat", "sec:S1"
	Port    fit.PortRef     // for Kind Port
	Section drill.SectionID // for Kind Section
}

// PortColumn is the column of a port.
func PortColumn(p fit.PortRef) Column { return Column{Kind: Port, Name: p.String(), Port: p} }

// SectionColumn is the column of a section's state.
func SectionColumn(id drill.SectionID) Column {
	return Column{Kind: Section, Name: "sec:" + string(id), Section: id}
}

// ColumnNamed is the column that a file's head calls name. Any name is taken:
// one that means nothing here becomes a column of Kind Other. A port is
// <node>:<port> with a whole number from 1 behind the last colon.
func ColumnNamed(name string) Column {
	switch name {
	case "lat":
		return Column{Kind: Lat, Name: name}
	case "lon":
		return Column{Kind: Lon, Name: name}
	case "speed":
		return Column{Kind: Speed, Name: name}
	case "course":
		return Column{Kind: Course, Name: name}
	case "work":
		return Column{Kind: Work, Name: name}
	}
	if id, ok := strings.CutPrefix(name, "sec:"); ok && id != "" {
		return SectionColumn(drill.SectionID(id))
	}
	if i := strings.LastIndexByte(name, ':'); i > 0 {
		if port, err := strconv.Atoi(name[i+1:]); err == nil && port >= 1 && strconv.Itoa(port) == name[i+1:] {
			return PortColumn(fit.PortRef{Node: name[:i], Port: port})
		}
	}
	return Column{Kind: Other, Name: name}
}
