package csv

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"runproof/input"
)

// maxLine is the longest line, in bytes, that is read.
const maxLine = 16 << 20

// lines cuts a stream into lines. A line that next returns is good until the
// next call.
type lines struct {
	src  io.Reader
	file string
	buf  []byte
	at   int    // start of what has not been given
	end  int    // end of what has been read
	line int    // number of the line last given, from 1
	more int    // further lines that it took, because of line ends in quotes
	err  error  // what src ended with
	held []byte // a line that was given back
}

func newLines(src io.Reader, file string) *lines {
	return &lines{src: src, file: file, buf: make([]byte, 256<<10)}
}

// next gives the next line that is not empty, without its end, or io.EOF, or
// what the source failed with. A line with an odd number of quotes goes on in
// the next one.
func (l *lines) next() ([]byte, error) {
	if line := l.held; line != nil {
		l.held = nil
		return line, nil
	}
	for range maxEmpty {
		l.line += 1 + l.more
		l.more = 0
		line, err := l.cut()
		if err != nil || len(line) > 0 {
			return line, err
		}
	}
	return nil, input.Fault{
		Place: input.Place{File: l.file, Line: l.line}, What: fmt.Sprintf("%d empty lines stand before this one", maxEmpty),
		Remedy: "this is hardly a flow log; if it is, take them out",
	}
}

// maxEmpty is how many empty lines may follow each other: a packed file can hold
// thousands of millions.
const maxEmpty = 1 << 22

// giveBack makes next return the line once more.
func (l *lines) giveBack(line []byte) { l.held = line }

func (l *lines) cut() ([]byte, error) {
	from, quotes := 0, 0 // searched so far, relative to at
	for {
		window := l.buf[l.at+from : l.end]
		n := bytes.IndexByte(window, '\n')
		if n < 0 && l.err == nil {
			quotes += bytes.Count(window, quote)
			from = l.end - l.at
			if err := l.fill(); err != nil {
				return nil, err
			}
			continue
		}
		if n < 0 {
			return l.last()
		}
		quotes += bytes.Count(window[:n], quote)
		if quotes%2 == 1 {
			l.more++
			from += n + 1
			continue
		}
		line := l.buf[l.at : l.at+from+n]
		l.at += from + n + 1
		return trimCR(line), nil
	}
}

var quote = []byte{'"'}

// last is what stands behind the last line end. When the source failed it is a
// broken line, which nobody may take for a whole one.
func (l *lines) last() ([]byte, error) {
	line := l.buf[l.at:l.end]
	if len(line) == 0 || !errors.Is(l.err, io.EOF) {
		return nil, l.err
	}
	if bytes.Count(line, quote)%2 == 1 {
		return nil, input.Fault{
			Place:  input.Place{File: l.file, Line: l.line, Col: 1 + bytes.IndexByte(line, '"')},
			What:   "a quote is opened and never closed",
			Remedy: `close it with another "`,
		}
	}
	l.at = l.end
	return trimCR(line), nil
}

// fill reads more behind end, making room first.
func (l *lines) fill() error {
	if l.at > 0 {
		copy(l.buf, l.buf[l.at:l.end])
		l.end -= l.at
		l.at = 0
	}
	if l.end == len(l.buf) {
		if len(l.buf) >= maxLine {
			return input.Fault{
				Place:  input.Place{File: l.file, Line: l.line},
				What:   fmt.Sprintf("the line is longer than %d MiB", maxLine>>20),
				Remedy: "this is hardly a flow log; if it is, look for a quote that is not closed or for missing line ends",
			}
		}
		l.buf = append(l.buf, make([]byte, len(l.buf))...)
	}
	for range 100 {
		n, err := l.src.Read(l.buf[l.end:])
		l.end += n
		l.err = err
		if n > 0 || err != nil {
			return nil
		}
	}
	l.err = io.ErrNoProgress
	return nil
}

func trimCR(line []byte) []byte {
	if n := len(line); n > 0 && line[n-1] == '\r' {
		return line[:n-1]
	}
	return line
}
