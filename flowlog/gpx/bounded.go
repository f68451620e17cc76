package gpx

import (
	"bufio"
	"fmt"
	"io"
	"strings"
)

// maxToken is the most bytes that one piece of XML may have: a tag, a text, a
// comment.
const maxToken = 1 << 20

// bounded gives the XML decoder bytes, and ends when a piece gets too long; the
// reader of pieces calls fresh after each.
type bounded struct {
	src  *bufio.Reader
	left int
}

func newBounded(src io.Reader) *bounded {
	const buffer = 64 << 10
	return &bounded{src: bufio.NewReaderSize(src, buffer), left: maxToken}
}

func (b *bounded) fresh() { b.left = maxToken }

func (b *bounded) ReadByte() (byte, error) {
	if b.left--; b.left < 0 {
		return 0, fmt.Errorf("a piece of the XML is longer than %d bytes", maxToken)
	}
	return b.src.ReadByte()
}

// Read makes it an io.Reader; the decoder reads by the byte.
func (b *bounded) Read(p []byte) (int, error) {
	if len(p) == 0 {
		return 0, nil
	}
	c, err := b.ReadByte()
	if err != nil {
		return 0, err
	}
	p[0] = c
	return 1, nil
}

// charset turns the one-byte encodings that old writers use into UTF-8.
func charset(name string, src io.Reader) (io.Reader, error) {
	switch strings.ToLower(name) {
	case "us-ascii", "ascii", "iso-8859-1", "latin1", "windows-1252":
		return &latin{src: src}, nil
	}
	return nil, fmt.Errorf("the encoding %.40q is not known; save the file as UTF-8", name)
}

// latin reads one byte a character: the first 256 of Unicode. (Windows 1252 has
// others between 128 and 159, which stand in names only.)
type latin struct {
	src  io.Reader
	rest byte // second byte of a character, 0 = none
}

func (l *latin) Read(p []byte) (int, error) {
	if len(p) == 0 {
		return 0, nil
	}
	if l.rest != 0 {
		p[0], l.rest = l.rest, 0
		return 1, nil
	}
	n, err := l.src.Read(p[:1])
	if n == 1 && p[0] >= 0x80 {
		p[0], l.rest = 0xc0|p[0]>>6, 0x80|p[0]&0x3f
	}
	return n, err
}
