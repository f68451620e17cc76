package can

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"go.einride.tech/can/pkg/dbc"

	"runproof/input"
)

// maxDBC is the largest DBC, in bytes, that is read.
const maxDBC = 32 << 20

// maxSignals is the most signals that a message may have.
const maxSignals = 4096

// ReadDBC reads what a DBC says of messages and signals. The faults are all it
// finds; file is its name, for messages.
func ReadDBC(src io.Reader, file string) (*Database, error) {
	b, err := io.ReadAll(io.LimitReader(src, maxDBC+1))
	at := input.Place{File: file}
	switch {
	case err != nil:
		return nil, input.Fault{Place: at, What: "cannot be read: " + err.Error(), Remedy: "check the file"}
	case len(b) > maxDBC:
		return nil, input.Fault{Place: at, What: fmt.Sprintf("the file is longer than %d MiB", maxDBC>>20), Remedy: "this is hardly a DBC"}
	}
	r := dbcReader{file: file, db: &Database{}, byID: map[ident]int{}, byName: map[string]int{}, formats: map[ident]string{}, formatNames: defaultFormats}
	r.statements(asText(b))
	if len(r.db.Messages) == 0 && len(r.faults) == 0 {
		r.faults.Add(at, "name a DBC, a text with lines such as BO_ 2566865041 RunCounts: 8 Node", "no message is described in it")
	}
	r.finish()
	r.faults.Sort()
	if err := r.faults.Err(); err != nil {
		return nil, err
	}
	r.db.index()
	return r.db, nil
}

// dbcReader gathers what the statements of a DBC say.
type dbcReader struct {
	file   string
	db     *Database
	faults input.Faults
	byID   map[ident]int
	byName map[string]int
	names  map[string]bool // of the signals of the message at hand
	inside bool            // a message whose signals count is open

	formats       map[ident]string // attribute VFrameFormat
	formatDefault string
	formatNames   []string
	multiplexed   []statement // SG_MUL_VAL_, to be read once all signals are known
	valueTypes    []statement
}

// defaultFormats are the values of VFrameFormat as DBCs for J1939 list them.
var defaultFormats = []string{"StandardCAN", "ExtendedCAN", "reserved", "J1939PG"}

func (r *dbcReader) place(s statement) input.Place {
	return input.Place{File: r.file, Line: s.line, Col: s.col}
}

func (r *dbcReader) statements(text string) {
	c := cutter{text: text}
	for {
		s, ok := c.next()
		if !ok {
			return
		}
		if s.open {
			r.faults.Add(r.place(s), `close it with another "`, "a quote in this statement is opened and never closed")
			return
		}
		const enough = 50
		if len(r.faults) >= enough {
			return
		}
		r.statement(s)
	}
}

func (r *dbcReader) statement(s statement) {
	switch s.keyword {
	case "BO_":
		if strings.TrimSpace(s.text) != "BO_" {
			r.message(s)
		}
	case "SG_":
		if strings.TrimSpace(s.text) != "SG_" {
			r.signal(s)
		}
	case "SG_MUL_VAL_":
		r.multiplexed = append(r.multiplexed, s)
	case "SIG_VALTYPE_":
		r.valueTypes = append(r.valueTypes, s)
	case "BA_DEF_", "BA_DEF_DEF_", "BA_":
		r.attribute(s)
	}
}

// parse has the library read one statement. Its parser gives up by panicking, and
// recovers from that; what it does not foresee must not end the program.
func (r *dbcReader) parse(s statement, text string) (def dbc.Def) {
	defer func() {
		if p := recover(); p != nil {
			def = nil
			r.faults.Add(r.place(s), "check it against the grammar of DBC files", "the statement cannot be read")
		}
	}()
	p := dbc.NewParser(r.file, []byte(text))
	if err := p.Parse(); err != nil {
		at := input.Place{File: r.file, Line: s.line + max(err.Position().Line-1, 0), Col: err.Position().Column}
		if at.Line == s.line {
			at.Col += s.col - 1
		}
		r.faults.Add(at, "check it against the grammar of DBC files", "%s cannot be read: %s", s.keyword, err.Reason())
		return nil
	}
	if len(p.Defs()) == 0 {
		return nil
	}
	return p.Defs()[0]
}

// independent is the id under which DBC editors keep signals of no message.
const independent = 0xc0000000

func (r *dbcReader) message(s statement) {
	r.inside = false
	text := strings.TrimRight(s.text, " \t\r\n;")
	if colon := strings.LastIndexByte(text, ':'); colon >= 0 && len(strings.Fields(text[colon:])) < 3 && !strings.HasSuffix(text, ":") {
		text += " Vector__XXX" // nobody is named to send it
	}
	d, ok := r.parse(s, text).(*dbc.MessageDef)
	if !ok || d.MessageID == independent {
		return
	}
	m := Message{Name: string(d.Name), ID: d.MessageID.ToCAN(), Is29Bit: d.MessageID.IsExtended(), line: s.line}
	m.Size = int(min(d.Size, 1<<16))
	if first, twice := r.byID[m.ident()]; twice {
		r.faults.Add(r.place(s), "take one of them out", "messages %s and %s, line %d, have the same id", m.Name, r.db.Messages[first].Name, r.db.Messages[first].line)
		return
	}
	if first, twice := r.byName[m.Name]; twice {
		r.faults.Add(r.place(s), "rename one of them", "two messages are called %s, the other in line %d", m.Name, r.db.Messages[first].line)
		return
	}
	r.byID[m.ident()], r.byName[m.Name] = len(r.db.Messages), len(r.db.Messages)
	r.db.Messages = append(r.db.Messages, m)
	r.inside, r.names = true, map[string]bool{}
}

// signal reads a signal of the message at hand.
func (r *dbcReader) signal(s statement) {
	if !r.inside {
		return
	}
	m := &r.db.Messages[len(r.db.Messages)-1]
	text, both := splitMarks(plainReceivers(s.text))
	d, ok := r.parse(s, text).(*dbc.SignalDef)
	if !ok {
		return
	}
	sig := Signal{
		Name: string(d.Name), Unit: d.Unit, Motorola: d.IsBigEndian, Factor: d.Factor, Offset: d.Offset, Min: d.Minimum, Max: d.Maximum,
		Start: int(min(d.StartBit, 1<<20)), Bits: int(min(d.Size, 1<<20)), IsSwitch: d.IsMultiplexerSwitch || both, line: s.line, col: s.col,
	}
	if d.IsSigned {
		sig.Form = Signed
	}
	if d.IsMultiplexed {
		sig.SwitchedBy = []Span{{d.MultiplexerSwitch, d.MultiplexerSwitch}}
	}
	switch {
	case sig.Bits == 0:
		r.faults.Add(r.place(s), "give it its length", "signal %s.%s has no bits", m.Name, sig.Name)
	case r.names[sig.Name]:
		r.faults.Add(r.place(s), "rename one of them", "two signals of %s are called %s", m.Name, sig.Name)
	case len(m.Signals) == maxSignals:
		r.faults.Add(r.place(s), "this is hardly one message", "message %s has more than %d signals", m.Name, maxSignals)
		r.inside = false
	default:
		r.names[sig.Name] = true
		m.Signals = append(m.Signals, sig)
	}
}

// plainReceivers puts a receiver that means nobody behind the unit, whatever
// stands there: receivers are of no use here, and some DBCs have none.
func plainReceivers(text string) string {
	if i := strings.LastIndexByte(text, '"'); i >= 0 {
		return text[:i+1] + " Vector__XXX"
	}
	return text
}

// splitMarks takes the M off a mark such as m3M, of a signal that is multiplexed
// and a switch itself, which the library does not know.
func splitMarks(text string) (plain string, both bool) {
	colon := strings.IndexByte(text, ':')
	if colon < 0 {
		return text, false
	}
	mark := strings.TrimRight(text[:colon], " \t")
	if len(mark) < 3 || mark[len(mark)-1] != 'M' || mark[len(mark)-2]-'0' > 9 {
		return text, false
	}
	if f := strings.Fields(mark); len(f) != 3 || f[2][0] != 'm' {
		return text, false
	}
	return mark[:len(mark)-1] + " " + text[len(mark):], true
}

// attribute reads what is said of the attribute VFrameFormat.
func (r *dbcReader) attribute(s statement) {
	fields := strings.Fields(strings.TrimRight(s.text, " \t\r\n;"))
	const name = `"VFrameFormat"`
	switch {
	case s.keyword == "BA_DEF_" && len(fields) > 3 && fields[1] == "BO_" && fields[2] == name:
		r.formatNames = nil
		_, list, _ := strings.Cut(s.text, "ENUM")
		for i, part := range strings.Split(list, `"`) {
			if i%2 == 1 {
				r.formatNames = append(r.formatNames, part)
			}
		}
	case s.keyword == "BA_DEF_DEF_" && len(fields) > 2 && fields[1] == name:
		r.formatDefault = r.formatName(fields[2])
	case s.keyword == "BA_" && len(fields) > 4 && fields[1] == name && fields[2] == "BO_":
		if id, err := strconv.ParseUint(fields[3], 10, 32); err == nil {
			r.formats[ident(id)] = r.formatName(fields[4])
		}
	}
}

// formatName is the value of VFrameFormat, given by its place in the list or in
// quotes.
func (r *dbcReader) formatName(value string) string {
	if i, err := strconv.Atoi(value); err == nil && i >= 0 && i < len(r.formatNames) {
		return r.formatNames[i]
	}
	return strings.Trim(value, `"`)
}

// finish reads what could not be read before all signals were known, and checks
// the whole.
func (r *dbcReader) finish() {
	for _, s := range r.valueTypes {
		r.valueType(s)
	}
	for i := range r.db.Messages {
		m := &r.db.Messages[i]
		format, said := r.formats[m.ident()]
		if !said {
			format = r.formatDefault
		}
		m.J1939 = m.Is29Bit && (format == "J1939PG" || format == "" && m.ident().source() == anySource)
		r.plainSwitch(m)
	}
	for _, s := range r.multiplexed {
		r.multiplex(s)
	}
	for i := range r.db.Messages {
		r.checkSwitches(&r.db.Messages[i])
	}
}

// valueType reads whether a signal is a floating-point number.
func (r *dbcReader) valueType(s statement) {
	if strings.TrimSpace(s.text) == s.keyword {
		return
	}
	d, ok := r.parse(s, s.text).(*dbc.SignalValueTypeDef)
	if !ok {
		return
	}
	sig := r.find(ident(d.MessageID), string(d.SignalName))
	if sig == nil || d.SignalValueType == dbc.SignalValueTypeInt {
		return
	}
	form, bits := Float, 32
	if d.SignalValueType == dbc.SignalValueTypeFloat64 {
		form, bits = Double, 64
	}
	if sig.Bits != bits {
		r.faults.Add(r.place(s), fmt.Sprintf("give signal %s %d bits, or take this statement out", sig.Name, bits), "a %s has %d bits, but signal %s, line %d, has %d", form, bits, sig.Name, sig.line, sig.Bits)
		return
	}
	sig.Form = form
}

// find is a signal by its message's id and its name, nil where there is none.
func (r *dbcReader) find(id ident, name string) *Signal {
	i, ok := r.byID[id]
	if !ok {
		return nil
	}
	if at := r.db.Messages[i].signal(name); at >= 0 {
		return &r.db.Messages[i].Signals[at]
	}
	return nil
}
