package formats

import (
	"bufio"
	"bytes"
	"io"

	"runproof/flowlog"
	"runproof/flowlog/can"
	"runproof/flowlog/mapping"
	"runproof/input"
)

// Option changes how a log is opened.
type Option func(*Options)

// Options is what all the options say together. Its zero value reads all that
// is there.
type Options struct {
	Keep func(flowlog.Column) bool // nil keeps every column
	Map  *mapping.Map              // what the recording means; nil takes names as they are
	CAN  *can.Database             // what the frames of a CAN recording hold
}

// With sees the recording through a map.
func With(m *mapping.Map) Option { return func(o *Options) { o.Map = m } }

// through opens a recording and sees it through the map, if there is one. The
// recording is then read whole: only the map knows which of its columns are
// wanted.
func (o Options) through(src Source, open func(Source, Options) (flowlog.Reader, error)) (flowlog.Reader, error) {
	if o.Map == nil {
		return open(src, o)
	}
	whole := o
	whole.Keep = nil
	r, err := open(src, whole)
	if err != nil {
		return nil, err
	}
	return mapping.Apply(r, o.Map, src.Name, o.Keep)
}

// Only reads the columns that keep wants and passes over the others, which
// makes reading faster. The schema then holds no others.
func Only(keep func(flowlog.Column) bool) Option { return func(o *Options) { o.Keep = keep } }

// headSize is how much of a file a format sees when it is asked.
const headSize = 1024

// Open reads the head of a log in whatever format it is, packed or not. Content
// decides, never the name. closer gives back what the reader holds; it does not
// close the source.
func Open(src Source, opts ...Option) (r flowlog.Reader, closer func(), err error) {
	var o Options
	for _, opt := range opts {
		opt(&o)
	}
	closer = func() {}
	if src.Folder != nil {
		r, err = openTree(src, o)
		return r, closer, err
	}
	if src.again == nil {
		src.again = fromAt(src.At, src.Size)
	}
	head := src.peek()
	if p, packed := packingOf(head); packed {
		src.At, src.Size, src.again = nil, 0, src.again.unpacked(p)
		if src.Stream, closer, err = p.open(src.Stream); err != nil {
			return nil, nil, flowlog.Damaged(input.Place{File: src.Name}, err.Error(), 0, 0, 0)
		}
		head = src.peek()
	}
	if isArchive(head) {
		if src, err = unzip(src); err != nil {
			closer()
			return nil, nil, err
		}
		r, err = openTree(src, o)
		return r, closer, err
	}
	if r, err = open(src, head, o); err != nil {
		closer()
		return nil, nil, err
	}
	return r, closer, nil
}

// peek returns the first bytes of the stream without taking them out of it. A
// failing source fails once more when it is read, with more to say.
func (s *Source) peek() []byte {
	b := bufio.NewReaderSize(s.Stream, headSize)
	head, _ := b.Peek(headSize)
	s.Stream = b
	return head
}

func open(src Source, head []byte, o Options) (flowlog.Reader, error) {
	for _, f := range all {
		if f.Owns(head) {
			return o.through(src, f.Open)
		}
	}
	if what, remedy, ok := stranger(head); ok {
		return nil, input.Fault{Place: input.Place{File: src.Name}, What: what, Remedy: remedy}
	}
	return o.through(src, text.Open)
}

// stranger tells of files that people take for logs and that no format owns.
func stranger(head []byte) (what, remedy string, ok bool) {
	for _, s := range []struct{ magic, what, remedy string }{
		{"\xd0\xcf\x11\xe0", "this is a spreadsheet", "save it as CSV"},
		{"BZh", "this is bzip2 data", "unpack it first"},
		{"\xfd7zXZ\x00", "this is xz data", "unpack it first"},
		{"7z\xbc\xaf", "this is a 7z archive", "unpack it first"},
		{"%PDF-", "this is a PDF", "name the log itself"},
		{"\x1f\x8b", "this is gzip data inside packed data", "unpack it first"},
		{"\x28\xb5\x2f\xfd", "this is Zstandard data inside packed data", "unpack it first"},
	} {
		if bytes.HasPrefix(head, []byte(s.magic)) {
			return s.what + ", not a flow log", s.remedy, true
		}
	}
	return "", "", false
}

// readAll holds a whole stream in memory, for formats that jump about in it.
func readAll(src Source, limit int64) ([]byte, error) {
	b, err := io.ReadAll(io.LimitReader(src.Stream, limit+1))
	if err != nil {
		return nil, flowlog.Damaged(input.Place{File: src.Name}, err.Error(), 0, 0, 0)
	}
	if int64(len(b)) > limit {
		return nil, input.Fault{Place: input.Place{File: src.Name}, What: "the packed file is too large to unpack in memory", Remedy: "unpack it first"}
	}
	return b, nil
}
