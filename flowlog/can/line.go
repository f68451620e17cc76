package can

import (
	"bytes"

	"runproof/flowlog"
)

// lineKind is what a line of a recording is.
type lineKind uint8

// The kinds of line.
const (
	strangeLine lineKind = iota
	frameLine
	blankLine
	dropLine   // candump -d: the recorder lost frames
	detailLine // candump -e: what an error frame before it means
)

// hexDigit is the value of a hex digit, above 15 for all else.
var hexDigit = func() (t [256]byte) {
	for i := range t {
		t[i] = 0xff
	}
	for i := range byte(10) {
		t['0'+i] = i
	}
	for i := range byte(6) {
		t['A'+i], t['a'+i] = 10+i, 10+i
	}
	return t
}()

// read takes in one line, without its end.
func (f *frame) read(line []byte) lineKind {
	i := blanks(line, 0)
	if i == len(line) {
		return blankLine
	}
	f.timed, f.dated = false, false
	if line[i] == '(' {
		if i = f.time(line, i+1); i < 0 {
			return strangeLine
		}
		i = blanks(line, i)
	}
	start := i
	for i < len(line) && line[i] != ' ' {
		i++
	}
	f.bus = line[start:i]
	if len(f.bus) == 0 || len(f.bus) > maxBusName {
		return other(line)
	}
	i = blanks(line, i)
	start, id := i, uint32(0)
	for i < len(line) {
		d := hexDigit[line[i]]
		if d > 15 {
			break
		}
		id = id<<4 | uint32(d)
		i++
	}
	digits := i - start
	switch {
	case i == len(line):
		return other(line)
	case line[i] == '#' && f.setID(id, digits):
		return f.body(line, i+1)
	case line[i] == ' ' && f.setID(id, digits):
		return f.console(line, i)
	case digits == 0:
		return f.directed(line, start)
	}
	return other(line)
}

// maxBusName is the longest name of an interface that Linux allows.
const maxBusName = 15

func blanks(line []byte, i int) int {
	for i < len(line) && line[i] == ' ' {
		i++
	}
	return i
}

// other is what a line is that holds no frame.
func other(line []byte) lineKind {
	switch {
	case bytes.HasPrefix(line, []byte("DROPCOUNT:")):
		return dropLine
	case line[0] == '\t':
		return detailLine
	}
	return strangeLine
}

// setID tells by the number of digits, never by the value, how long an id is.
func (f *frame) setID(id uint32, digits int) bool {
	f.kind = dataFrame
	switch {
	case digits == 8 && id <= uint32(id29Mask):
		f.id = ident(id) | extended
	case digits == 8 && id < 2*errorFlag:
		f.kind, f.id = errorFrame, ident(id)&id29Mask
	case digits == 3 && id <= maxID11:
		f.id = ident(id)
	default:
		return false
	}
	return true
}

// time reads the stamp up to and with its bracket; it gives -1 for what is none.
func (f *frame) time(line []byte, i int) int {
	start, whole := i, int64(0)
	for i < len(line) && line[i]-'0' <= 9 {
		whole = whole*10 + int64(line[i]-'0')
		i++
	}
	const mostDigits = 10 // of seconds, to the year 2286
	if i == start || i-start > mostDigits || i == len(line) || whole > maxSeconds {
		return -1
	}
	if line[i] == '-' {
		return f.date(line, start)
	}
	frac, unit := int64(0), int64(1e9)
	if line[i] == '.' {
		for i++; i < len(line) && line[i]-'0' <= 9 && unit > 1; i++ {
			unit /= 10
			frac = frac*10 + int64(line[i]-'0')
		}
	}
	if i == len(line) || line[i] != ')' {
		return -1
	}
	f.ns, f.timed = whole*1e9+frac*unit, true
	return i + 1
}

// maxSeconds is the last whole second that nanoseconds in an int64 can tell.
const maxSeconds = 9223372035

// date reads a stamp such as 2026-05-12 09:15:30.003000, whose zone nobody
// knows, as if it were UTC.
func (f *frame) date(line []byte, start int) int {
	end := bytes.IndexByte(line[start:], ')')
	const shortest, longest = len("2026-05-12 09:15:30"), len("2026-05-12 09:15:30.123456789")
	if end < shortest || end > longest {
		return -1
	}
	var text [longest + 1]byte
	n := copy(text[:], line[start:start+end])
	if text[10] != ' ' {
		return -1
	}
	text[10], text[n] = 'T', 'Z'
	ns, clock, err := flowlog.ParseTime(text[:n+1])
	if err != nil || clock != flowlog.UTC {
		return -1
	}
	f.ns, f.timed, f.dated = ns, true, true
	return start + end + 1
}

// body reads what stands behind the # of a log line: data, R for a remote
// request, or # again and a digit of flags for FD.
func (f *frame) body(line []byte, i int) lineKind {
	f.fd, f.n = false, 0
	if i < len(line) && line[i] == 'R' {
		if f.kind == dataFrame {
			f.kind = remoteFrame
		}
		if i++; i < len(line) && line[i]-'0' <= 9 {
			i++
		}
		return rest(line, i)
	}
	most := 8
	if i+1 < len(line) && line[i] == '#' && hexDigit[line[i+1]] <= 15 {
		f.fd, most = true, maxData
		i += 2
	}
	n := 0
	for i+1 < len(line) {
		high, low := hexDigit[line[i]], hexDigit[line[i+1]]
		if high|low > 15 {
			break
		}
		if n == most {
			return strangeLine
		}
		f.data[n] = high<<4 | low
		n++
		i += 2
	}
	f.n = n
	if f.fd && !fdLength(n) {
		return strangeLine
	}
	return rest(line, i)
}

// fdLength says whether an FD frame can have n data bytes.
func fdLength(n int) bool {
	return n <= 8 || n <= 24 && n%4 == 0 || n == 32 || n == 48 || n == 64
}

// rest looks at what stands behind a frame of a log line: nothing, _ and a digit
// for the raw length of a frame of 8 bytes, R or T for its direction.
func rest(line []byte, i int) lineKind {
	if i+1 < len(line) && line[i] == '_' && hexDigit[line[i+1]] <= 15 {
		i += 2
	}
	if i == len(line) {
		return frameLine
	}
	if line[i] != ' ' {
		return strangeLine
	}
	if i = blanks(line, i); i < len(line) && (line[i] == 'R' || line[i] == 'T') {
		i++
	}
	if blanks(line, i) == len(line) {
		return frameLine
	}
	return strangeLine
}

// directed reads a console line whose frame has its direction before it (candump
// -x): RX or TX and two flags, such as "RX B -".
func (f *frame) directed(line []byte, i int) lineKind {
	const length = len("RX - -")
	if i+length >= len(line) || line[i+1] != 'X' || line[i+2] != ' ' || line[i+4] != ' ' {
		return other(line)
	}
	i = blanks(line, i+length)
	start, id := i, uint32(0)
	for i < len(line) && hexDigit[line[i]] <= 15 {
		id = id<<4 | uint32(hexDigit[line[i]])
		i++
	}
	if i == len(line) || line[i] != ' ' || !f.setID(id, i-start) {
		return strangeLine
	}
	return f.console(line, i)
}

// console reads what stands behind the id of a console line: the number of
// bytes in brackets, with two digits for FD, and the bytes.
func (f *frame) console(line []byte, i int) lineKind {
	i = blanks(line, i)
	if i+2 >= len(line) || line[i] != '[' {
		return strangeLine
	}
	n, start := 0, i+1
	for i++; i < len(line) && line[i]-'0' <= 9 && i-start < 2; i++ {
		n = n*10 + int(line[i]-'0')
	}
	if i == start || i == len(line) || line[i] != ']' {
		return strangeLine
	}
	f.fd = i-start == 2
	if i++; bytes.HasPrefix(line[blanks(line, i):], []byte("remote request")) {
		f.kind, f.n = remoteFrame, 0
		return frameLine
	}
	if n > maxData || f.fd && !fdLength(n) || !f.fd && n > 8 {
		return strangeLine
	}
	for b := range n {
		i = blanks(line, i)
		if i+1 >= len(line) {
			return strangeLine
		}
		high, low := hexDigit[line[i]], hexDigit[line[i+1]]
		if high|low > 15 {
			return strangeLine
		}
		f.data[b] = high<<4 | low
		i += 2
	}
	f.n = n
	return consoleRest(line, i)
}

// consoleRest looks at what stands behind the bytes: nothing, the mark of an
// error frame, or the bytes once more as letters in quotes.
func consoleRest(line []byte, i int) lineKind {
	if i < len(line) && line[i] != ' ' {
		return strangeLine
	}
	i = blanks(line, i)
	if i == len(line) || line[i] == '\'' || bytes.HasPrefix(line[i:], []byte("ERRORFRAME")) {
		return frameLine
	}
	return strangeLine
}
