package formats

import (
	"bytes"
	"errors"
	"io"

	"github.com/klauspost/compress/gzip"
	"github.com/klauspost/compress/zstd"
)

// packing is a compression around a whole file.
type packing struct {
	name   string
	suffix string
	magic  []byte
	unpack func(io.Reader) (io.Reader, func(), error)
	pack   func(io.Writer) (io.WriteCloser, error)
}

var packings = []packing{
	{"gzip", ".gz", []byte{0x1f, 0x8b}, unpackGzip, packGzip},
	{"Zstandard", ".zst", []byte{0x28, 0xb5, 0x2f, 0xfd}, unpackZstd, packZstd},
}

// packingOf recognises a packed file by its first bytes.
func packingOf(head []byte) (packing, bool) {
	for _, p := range packings {
		if bytes.HasPrefix(head, p.magic) {
			return p, true
		}
	}
	return packing{}, false
}

// open unpacks src as it is read. What is wrong with the packed data comes out
// as an error that says so.
func (p packing) open(src io.Reader) (io.Reader, func(), error) {
	r, closer, err := p.unpack(src)
	if err != nil {
		return nil, nil, p.plain(err)
	}
	return unpacked{r, p}, closer, nil
}

type unpacked struct {
	r io.Reader
	p packing
}

func (u unpacked) Read(b []byte) (int, error) {
	n, err := u.r.Read(b)
	if err != nil && !errors.Is(err, io.EOF) {
		err = u.p.plain(err)
	}
	return n, err
}

func (p packing) plain(err error) error {
	if errors.Is(err, io.ErrUnexpectedEOF) {
		return errors.New("the file is cut short: its " + p.name + " data end in the middle")
	}
	return errors.New("the " + p.name + " data are damaged: " + err.Error())
}

func unpackGzip(src io.Reader) (io.Reader, func(), error) {
	r, err := gzip.NewReader(src)
	if errors.Is(err, io.EOF) {
		err = io.ErrUnexpectedEOF
	}
	return r, func() {}, err
}

func packGzip(w io.Writer) (io.WriteCloser, error) { return gzip.NewWriter(w), nil }

// maxWindow is the furthest back that Zstandard data may refer, in bytes, and so
// the memory that they may ask for: what its own tool takes unasked.
const maxWindow = 128 << 20

func unpackZstd(src io.Reader) (io.Reader, func(), error) {
	// One at a time: what stands before damage comes out before the error.
	r, err := zstd.NewReader(src, zstd.WithDecoderConcurrency(1), zstd.WithDecoderLowmem(true), zstd.WithDecoderMaxWindow(maxWindow))
	if err != nil {
		return nil, nil, err
	}
	return r, r.Close, nil
}

func packZstd(w io.Writer) (io.WriteCloser, error) {
	return zstd.NewWriter(w, zstd.WithEncoderConcurrency(1))
}
