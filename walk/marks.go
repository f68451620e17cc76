package walk

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/input"
)

// Mark is one line of a marks file: at this time, by the marks' own clock,
// this run was pinched or tapped.
type Mark struct {
	TimeNS int64
	Run    drill.RunID
	Line   int // in the file, from 1
}

// Marks are the notes of a walk: when which run was pinched.
type Marks struct {
	File  string        // for messages
	Clock flowlog.Clock // the form of every time in the file
	Marks []Mark        // in the order of the file
}

// largestMarks bounds what is read: a day of one mark a second is far less.
const largestMarks = 16 << 20

// ReadMarks reads a marks file: CSV with the columns time and run, in either
// order, other columns ignored; time in RFC 3339 or in decimal seconds, the
// same form in every line. Every run must be one of runs. All faults come
// together, each with its place.
func ReadMarks(r io.Reader, name string, runs []drill.RunID) (*Marks, error) {
	raw, err := io.ReadAll(io.LimitReader(r, largestMarks+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(raw) > largestMarks {
		return nil, input.Fault{Place: input.Place{File: name}, What: "the file is larger than 16 MB", Remedy: "marks have one short line for each run"}
	}
	m := &marksReader{m: &Marks{File: name}, known: map[drill.RunID]bool{}, runs: runs}
	for _, id := range runs {
		m.known[id] = true
	}
	m.read(csv.NewReader(bytes.NewReader(bytes.TrimPrefix(raw, []byte("\ufeff")))))
	return m.m, m.faults.Err()
}

type marksReader struct {
	m       *Marks
	runs    []drill.RunID
	known   map[drill.RunID]bool
	timeCol int
	runCol  int
	faults  input.Faults
}

// mostFaults are told at once; a file of another kind would give thousands.
const mostFaults = 20

func (m *marksReader) read(c *csv.Reader) {
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	head, err := c.Read()
	if errors.Is(err, io.EOF) {
		m.faults.Add(input.Place{File: m.m.File}, "begin with the line time,run and write one line for each run", "the marks file is empty")
		return
	}
	if err != nil || !m.head(c, head) {
		m.csvFault(err)
		return
	}
	for len(m.faults) < mostFaults {
		rec, err := c.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			m.csvFault(err)
			return
		}
		m.record(c, rec)
	}
}

func (m *marksReader) csvFault(err error) {
	var pe *csv.ParseError
	if errors.As(err, &pe) {
		m.faults.Add(input.Place{File: m.m.File, Line: pe.Line, Col: pe.Column}, "write plain lines such as 41.2,A-7", "not CSV: %v", pe.Err)
	}
}

// head finds the two columns; it reports false after a fault.
func (m *marksReader) head(c *csv.Reader, head []string) bool {
	m.timeCol, m.runCol = -1, -1
	for i, h := range head {
		switch strings.ToLower(strings.TrimSpace(h)) {
		case "time":
			m.timeCol = i
		case "run":
			m.runCol = i
		}
	}
	if m.timeCol < 0 || m.runCol < 0 {
		m.faults.Add(m.place(c, 0), "begin with the line time,run", "the first line names the columns %q, not time and run", head)
		return false
	}
	return true
}

func (m *marksReader) place(c *csv.Reader, field int) input.Place {
	line, col := c.FieldPos(field)
	return input.Place{File: m.m.File, Line: line, Col: col}
}

func (m *marksReader) record(c *csv.Reader, rec []string) {
	if len(rec) == 1 && strings.TrimSpace(rec[0]) == "" {
		return
	}
	if len(rec) <= max(m.timeCol, m.runCol) {
		m.faults.Add(m.place(c, 0), "write both time and run", "the line has %d of the columns time and run", len(rec))
		return
	}
	before := len(m.faults)
	ns := m.time(m.place(c, m.timeCol), strings.TrimSpace(rec[m.timeCol]))
	id := m.run(m.place(c, m.runCol), strings.TrimSpace(rec[m.runCol]))
	if len(m.faults) == before {
		line, _ := c.FieldPos(0)
		m.m.Marks = append(m.m.Marks, Mark{TimeNS: ns, Run: id, Line: line})
	}
}

func (m *marksReader) time(at input.Place, s string) int64 {
	ns, clock, err := flowlog.ParseTime(s)
	switch {
	case err != nil:
		m.faults.Add(at, "use RFC 3339 (2026-05-12T09:15:30.2Z) or decimal seconds", "%q is no time", s)
	case len(m.m.Marks) == 0:
		m.m.Clock = clock
	case clock != m.m.Clock:
		m.faults.Add(at, "write every time in the form of the first line", "the times of this file are of two forms")
	}
	return ns
}

func (m *marksReader) run(at input.Place, s string) drill.RunID {
	if m.known[drill.RunID(s)] {
		return drill.RunID(s)
	}
	words := make([]string, len(m.runs))
	for i, id := range m.runs {
		if strings.EqualFold(s, string(id)) {
			return id
		}
		words[i] = string(id)
	}
	remedy := "use the ids of the fit, such as C-7"
	if len(words) > 0 {
		remedy = "use an id of a sensed run, such as " + words[0]
	}
	if w, ok := input.Nearest(s, words); ok {
		remedy = "did you mean " + w + "?"
	}
	m.faults.Add(at, remedy, "the fit senses no run %q", s)
	return ""
}
