package gpx

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// maxToken is the most bytes that one piece of XML may have: a tag, a text, a
// comment.
const maxToken = 1 << 20

// bounded gives the XML decoder bytes, and ends when a piece gets too long; the
// reader of pieces calls fresh after each.
type bounded struct {
	src  *bufio.Reader
	left int
	wide bool // it was UTF-16
}

func newBounded(src io.Reader) *bounded {
	const buffer = 64 << 10
	text, wide := narrow(src)
	return &bounded{src: bufio.NewReaderSize(text, buffer), left: maxToken, wide: wide}
}

// narrow makes UTF-8 of text in UTF-16, which is seen from its first bytes.
func narrow(src io.Reader) (text io.Reader, was bool) {
	const first = 4
	b := bufio.NewReader(src)
	head, _ := b.Peek(first)
	order, is := wide(head)
	if !is {
		return b, false
	}
	return transform.NewReader(b, unicode.BOMOverride(unicode.UTF16(order, unicode.IgnoreBOM).NewDecoder())), true
}

// wide says whether text begins with UTF-16, with or without a byte order mark.
func wide(head []byte) (order unicode.Endianness, is bool) {
	switch {
	case bytes.HasPrefix(head, []byte("\xff\xfe")), bytes.HasPrefix(head, []byte("<\x00")):
		return unicode.LittleEndian, true
	case bytes.HasPrefix(head, []byte("\xfe\xff")), bytes.HasPrefix(head, []byte("\x00<")):
		return unicode.BigEndian, true
	}
	return false, false
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
func (b *bounded) charset(name string, src io.Reader) (io.Reader, error) {
	if b.wide {
		return src, nil // it comes as UTF-8
	}
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
