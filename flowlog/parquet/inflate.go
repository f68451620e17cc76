package parquet

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/andybalholm/brotli"
	"github.com/klauspost/compress/gzip"
	"github.com/klauspost/compress/snappy"
	"github.com/klauspost/compress/zstd"
	"github.com/parquet-go/parquet-go/format"
	"github.com/pierrec/lz4/v4"
)

// inflater unpacks pages. Each method fills dst exactly: data that would give
// more, or less, are damaged, so that a page cannot grow beyond what its header
// says. The zero inflater is ready.
type inflater struct {
	gz *gzip.Reader
	zs *zstd.Decoder
	br *brotli.Reader
}

var errSize = errors.New("the packed data do not have the length that the page claims")

func (f *inflater) inflate(codec format.CompressionCodec, dst, src []byte) error {
	if len(dst) == 0 && codec != format.Uncompressed {
		return nil // writers differ in what they leave of nothing
	}
	switch codec {
	case format.Uncompressed:
		return exactly(copy(dst, src), len(src), len(dst))
	case format.Snappy:
		n, err := snappy.DecodedLen(src)
		if err != nil || n != len(dst) {
			return errors.Join(errSize, err)
		}
		_, err = snappy.Decode(dst, src)
		return err
	case format.Gzip:
		return f.gzip(dst, src)
	case format.Zstd:
		return f.zstd(dst, src)
	case format.Brotli:
		return f.brotli(dst, src)
	case format.Lz4Raw:
		n, err := lz4.UncompressBlock(src, dst)
		if err != nil {
			return err
		}
		return exactly(n, len(dst))
	}
	return fmt.Errorf("they are packed with %s, which is not read here; write the file again with ZSTD or SNAPPY", codec)
}

// exactly is an error when the lengths are not all the same.
func exactly(n int, lengths ...int) error {
	for _, l := range lengths {
		if l != n {
			return errSize
		}
	}
	return nil
}

func (f *inflater) gzip(dst, src []byte) (err error) {
	if f.gz == nil {
		f.gz, err = gzip.NewReader(bytes.NewReader(src))
	} else {
		err = f.gz.Reset(bytes.NewReader(src))
	}
	if err != nil {
		return err
	}
	return fill(dst, f.gz)
}

func (f *inflater) brotli(dst, src []byte) error {
	if f.br == nil {
		f.br = brotli.NewReader(bytes.NewReader(src))
	} else if err := f.br.Reset(bytes.NewReader(src)); err != nil {
		return err
	}
	return fill(dst, f.br)
}

// fill reads exactly dst from r.
func fill(dst []byte, r io.Reader) error {
	if _, err := io.ReadFull(r, dst); err != nil {
		return err
	}
	var more [1]byte
	if n, err := io.ReadFull(r, more[:]); n != 0 || !errors.Is(err, io.EOF) {
		return errors.Join(errSize, err)
	}
	return nil
}

func (f *inflater) zstd(dst, src []byte) (err error) {
	if f.zs == nil {
		if f.zs, err = zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxMemory(maxPage)); err != nil {
			return err
		}
	}
	out, err := f.zs.DecodeAll(src, dst[:0])
	if err != nil {
		return err
	}
	return exactly(len(out), len(dst))
}
