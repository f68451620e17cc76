package mapping

import (
	"io"

	"runproof/input/yamldoc"
)

// Version is the document version of a mapping.
const Version = "mapping/1"

// Map says what a recording means. The zero Map changes nothing.
type Map struct {
	Runproof string   `json:"runproof" jsonschema:"required"`                     // Version
	Text     Text     `json:"text,omitzero"`                                      // how a text file is written; left out for other recordings
	Time     Time     `json:"time,omitzero"`                                      // how a text file writes time
	Line     Line     `json:"line,omitzero"`                                      // of a text file whose lines tell of one column each
	RowsS    float64  `json:"rows_s,omitempty" jsonschema:"minimum=0,maximum=60"` // gather into rows this many seconds apart; 0 leaves records as they are
	Columns  []Column `json:"columns,omitempty"`                                  // what is renamed or reckoned; the rest is kept
}

// Text is how a text file is written. The zero Text is comma and point.
type Text struct {
	Delimiter Delimiter `json:"delimiter,omitempty"`                                            // , ; | tab or space
	Decimal   Decimal   `json:"decimal,omitempty"`                                              // . or ,
	Thousands Thousands `json:"thousands,omitempty"`                                            // between groups of three digits: . , ' or space
	Encoding  Encoding  `json:"encoding,omitempty"`                                             // utf-8, utf-16, windows-1252 and so on
	SkipLines int       `json:"skip_lines,omitempty" jsonschema:"minimum=0,maximum=10000"`      // before the head
	NoHead    bool      `json:"no_head,omitempty"`                                              // columns have no names; they are #1, #2 and so on
	SkipAfter int       `json:"skip_after_head,omitempty" jsonschema:"minimum=0,maximum=10000"` // lines between head and data, such as units
	Comment   string    `json:"comment,omitempty"`                                              // lines that begin with it are passed over
	Missing   Words     `json:"missing,omitempty"`                                              // cells that say "not reported", besides empty ones
}

// Time is how a text file writes time. The zero Time is a column called time,
// RFC 3339 or decimal seconds.
type Time struct {
	Columns Names  `json:"columns,omitempty"` // one, or date and time of day; joined by a space
	Form    Form   `json:"form,omitempty"`    // such as DD.MM.YYYY hh:mm:ss; or rfc3339, seconds, milliseconds, unix_s, unix_ms, unix_us, unix_ns, excel_days
	Zone    string `json:"zone,omitempty"`    // of local times: UTC, +02:00 or an IANA name such as Europe/Berlin
}

// Column says what one column means.
type Column struct {
	From    string    `json:"from" jsonschema:"required"`                               // its name in the recording; "#3" is the third of a text file
	To      string    `json:"to" jsonschema:"required"`                                 // its name in the flow log: node:port, lat, lon, speed, course, work, sec:ID or any other; "-" leaves it out
	Unit    Unit      `json:"unit,omitempty"`                                           // of the recording, for lat, lon, speed and course
	Counts  Counts    `json:"counts,omitempty"`                                         // interval, running or per_second
	WrapsAt float64   `json:"wraps_at,omitempty" jsonschema:"minimum=0,maximum=1.9e19"` // a running count goes back to 0 there: 65536 for 16 bits
	Scale   float64   `json:"scale,omitempty"`                                          // value = written x scale + add; 0 is 1
	Add     float64   `json:"add,omitempty"`                                            // see scale
	Missing []float64 `json:"missing,omitempty"`                                        // written values that say "not reported"
	Side    string    `json:"side,omitempty"`                                           // of lat and lon in a text file: its column of N, S, E or W
	On      Words     `json:"on,omitempty"`                                             // what is written for 1 in work and sec:ID; anything else is 0
}

// Read reads a mapping; name is the file's name for messages. The error is
// input.Faults with every fault of it, or what r returned.
func Read(r io.Reader, name string) (*Map, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return nil, err
	}
	if err := doc.WantVersion(Version); err != nil {
		return nil, err
	}
	m := &Map{}
	doc.Decode(m)
	m.check(doc)
	return m, doc.Err()
}

// check finds what no single key shows.
func (m *Map) check(doc *yamldoc.Document) {
	if _, err := m.Time.zone(); err != nil {
		doc.Fault(doc.At("time", "zone"), "write UTC, an offset such as +02:00, or a name such as Europe/Berlin", "there is no time zone %.60q", m.Time.Zone)
	}
	if m.Time.Zone != "" && !m.Time.Form.local() {
		doc.Fault(doc.At("time", "zone"), "take it out, or give the form of local times", "form %s is not in local time", m.Time.Form)
	}
	if len(m.Text.Comment) > 8 {
		doc.Fault(doc.At("text", "comment"), "write the sign alone, such as #", "a comment sign of %d characters", len(m.Text.Comment))
	}
	if m.Text.Decimal == ',' && m.Text.Delimiter == 0 {
		doc.Fault(doc.At("text", "decimal"), "give the delimiter, or write delimiter: \",\" where quotes hold the numbers together", "the comma cannot be decimal sign and delimiter at once")
	}
	if m.Text.Thousands != 0 && byte(m.Text.Thousands) == m.Text.Decimal.sign() {
		doc.Fault(doc.At("text", "thousands"), "give the decimal sign, too", "%q cannot stand between thousands and before decimals", m.Text.Thousands)
	}
	if (m.Line.Name == "") != (m.Line.Value == "") {
		doc.Fault(doc.At("line"), "give name and value, or neither", "a line needs both the column of names and that of values")
	}
	from, to := map[string]int{}, map[string]int{}
	for i, c := range m.Columns {
		if first, twice := from[c.From]; twice && c.From != "" {
			doc.Fault(doc.At("columns", i, "from"), "keep one of them", "column %q is named twice, first as number %d of the list", c.From, first+1)
		}
		from[c.From] = i
		if first, twice := to[c.To]; twice && c.To != leftOut && c.To != "" {
			doc.Fault(doc.At("columns", i, "to"), "each needs a name of its own", "columns %q and %q both become %q", m.Columns[first].From, c.From, c.To)
		}
		to[c.To] = i
		m.checkColumn(doc, i, c)
	}
}

// leftOut is the name of what is not wanted.
const leftOut = "-"
