package can

import (
	"bytes"
	"errors"
	"io"
)

// maxLine is the longest line, in bytes, that is looked at. A frame with 64 data
// bytes takes less than 300.
const maxLine = 4096

// lines cuts a stream into lines. A line that next returns is good until the
// next call.
type lines struct {
	src    io.Reader
	buf    []byte
	at     int  // start of what has not been given
	end    int  // end of what has been read
	number int  // of the line last given, from 1
	open   bool // the line last given had no end: the stream broke off in it, or ended there
	err    error
}

func newLines(src io.Reader) *lines {
	return &lines{src: src, buf: make([]byte, 256<<10)}
}

// next gives the next line without its end, or the error that ended the stream,
// io.EOF too. Of a line that is too long it gives the first bytes.
func (l *lines) next() ([]byte, error) {
	for {
		if n := bytes.IndexByte(l.buf[l.at:l.end], '\n'); n >= 0 {
			line := l.buf[l.at : l.at+n]
			l.at += n + 1
			l.number++
			if n > 0 && line[n-1] == '\r' {
				line = line[:n-1]
			}
			return line, nil
		}
		if l.err != nil {
			return l.last()
		}
		if l.end-l.at > maxLine {
			return l.long()
		}
		l.fill()
	}
}

// last is what stands behind the last line end.
func (l *lines) last() ([]byte, error) {
	line := l.buf[l.at:l.end]
	if len(line) == 0 {
		return nil, l.err
	}
	l.at = l.end
	l.number++
	l.open = true
	return line, nil
}

// long passes over a line that is too long, and gives its first bytes.
func (l *lines) long() ([]byte, error) {
	first := bytes.Clone(l.buf[l.at : l.at+maxLine])
	for l.err == nil {
		if n := bytes.IndexByte(l.buf[l.at:l.end], '\n'); n >= 0 {
			l.at += n + 1
			break
		}
		l.at = l.end
		l.fill()
	}
	l.number++
	return first, nil
}

// fill reads more behind end, making room first. What is held is no longer than
// maxLine.
func (l *lines) fill() {
	copy(l.buf, l.buf[l.at:l.end])
	l.end -= l.at
	l.at = 0
	for range 100 {
		n, err := l.src.Read(l.buf[l.end:])
		l.end += n
		l.err = err
		if n > 0 || err != nil {
			return
		}
	}
	l.err = io.ErrNoProgress
}

// broken is what the stream failed with, nil where it came to its end.
func (l *lines) broken() error {
	if errors.Is(l.err, io.EOF) {
		return nil
	}
	return l.err
}
