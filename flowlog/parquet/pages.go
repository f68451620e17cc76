package parquet

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"

	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

const (
	// maxPage is the largest page that is read, unpacked, in bytes. Writers aim
	// at one MiB.
	maxPage = 64 << 20
	// maxHeld is the most that the pages under way of all columns may take
	// together.
	maxHeld = 1 << 30
	// pageBuffer is the read-ahead of a column; a page's head must fit in it.
	pageBuffer = 8 << 10
)

// The head of a page, as far as it is needed; see footer.
type (
	pageHead struct {
		Type       format.PageType         `thrift:"1,required"`
		Unpacked   int32                   `thrift:"2,required"`
		Packed     int32                   `thrift:"3,required"`
		CRC        thrift.Null[int32]      `thrift:"4,optional"`
		Data       thrift.Null[dataHead]   `thrift:"5,optional"`
		Dictionary thrift.Null[dictHead]   `thrift:"7,optional"`
		DataV2     thrift.Null[dataHeadV2] `thrift:"8,optional"`
	}

	dataHead struct {
		NumValues int32           `thrift:"1,required"`
		Encoding  format.Encoding `thrift:"2,required"`
		Levels    format.Encoding `thrift:"3,required"`
	}

	dictHead struct {
		NumValues int32 `thrift:"1,required"`
	}

	dataHeadV2 struct {
		NumValues        int32             `thrift:"1,required"`
		Encoding         format.Encoding   `thrift:"4,required"`
		LevelsBytes      int32             `thrift:"5,required"`
		RepetitionsBytes int32             `thrift:"6,required"`
		Packed           thrift.Null[bool] `thrift:"7,optional"`
	}
)

// page is one page, unpacked. levels is nil in a column that has a value in
// every row.
type page struct {
	dictionary bool // it is the dictionary
	rows       int  // or entries of the dictionary
	encoding   format.Encoding
	levels     []byte
	values     []byte
}

// shop is what the columns of a file share while they read pages.
type shop struct {
	inflater
	packed []byte // the packed page at hand
	held   int    // bytes held by unpacked pages, over all columns
}

// pages reads the pages of one column, in one row group after another.
type pages struct {
	shop     *shop
	src      *bufio.Reader
	left     int64 // bytes not read yet of the column in this row group
	codec    format.CompressionCodec
	optional bool
	raw      []byte // the unpacked page at hand, with padding behind it
}

var (
	errPage  = errors.New("a page's head claims more than there is")
	errLarge = fmt.Errorf("a page has more than %d MiB, or all pages at hand more than %d; write the file again with smaller pages or row groups", maxPage>>20, maxHeld>>20)
)

// open begins the column's pages in a row group.
func (p *pages) open(src io.ReaderAt, size int64, c *chunk) error {
	m := &c.Meta
	at := m.DataPageOffset
	if d := m.DictionaryPageOffset; d > 0 && d < at {
		at = d
	}
	switch {
	case c.Crypto.FooterKey.Valid || c.Crypto.ColumnKey.Valid:
		return errors.New("they are encrypted")
	case c.FilePath != "":
		return errors.New("they are in another file")
	case at < 4 || m.TotalCompressedSize < 0 || at > size || m.TotalCompressedSize > size-at:
		return errors.New("they lie outside the file")
	}
	section := io.NewSectionReader(src, at, m.TotalCompressedSize)
	if p.src == nil {
		p.src = bufio.NewReaderSize(section, pageBuffer)
	} else {
		p.src.Reset(section)
	}
	p.codec, p.left = m.Codec, m.TotalCompressedSize
	return nil
}

// next reads the next page with data or the dictionary. It is good until next
// is called again.
func (p *pages) next() (page, error) {
	for {
		h, err := p.head()
		if err != nil {
			return page{}, err
		}
		if h.Packed < 0 || h.Unpacked < 0 {
			return page{}, errPage
		}
		if h.Unpacked > maxPage || h.Packed > maxPage {
			return page{}, errLarge
		}
		if err := p.load(int(h.Packed), h.CRC); err != nil {
			return page{}, err
		}
		switch {
		case h.Type == format.DictionaryPage && h.Dictionary.Valid:
			err = p.unpack(nil, p.shop.packed, int(h.Unpacked), true)
			return page{dictionary: true, rows: int(h.Dictionary.V.NumValues), values: p.raw}, err
		case h.Type == format.DataPage && h.Data.Valid:
			return p.dataPage(&h)
		case h.Type == format.DataPageV2 && h.DataV2.Valid:
			return p.dataPageV2(&h)
		case h.Type != format.IndexPage:
			return page{}, fmt.Errorf("a page is of an unknown type, %s", h.Type)
		}
	}
}

func (p *pages) head() (h pageHead, err error) {
	b, err := p.src.Peek(pageBuffer)
	if len(b) == 0 {
		if err == nil || errors.Is(err, io.EOF) {
			err = errors.New("there are fewer rows in them than the footer says")
		}
		return h, err
	}
	n, err := decode(b, &h)
	if err != nil {
		return h, fmt.Errorf("a page's head is damaged: %w", err)
	}
	p.left -= int64(n)
	_, err = p.src.Discard(n)
	return h, err
}

// load reads the packed page.
func (p *pages) load(n int, crc thrift.Null[int32]) error {
	if p.left -= int64(n); p.left < 0 {
		return errPage
	}
	p.shop.packed = sized(p.shop.packed, n)
	if _, err := io.ReadFull(p.src, p.shop.packed); err != nil {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return errPage
		}
		return err
	}
	if crc.Valid && uint32(crc.V) != crc32.ChecksumIEEE(p.shop.packed) {
		return errors.New("a page's checksum is wrong")
	}
	return nil
}

// unpack puts what stands before, and behind it size bytes unpacked from src,
// into raw.
func (p *pages) unpack(before, src []byte, size int, packed bool) error {
	p.shop.held -= cap(p.raw)
	p.raw = sized(p.raw, len(before)+size)
	if p.shop.held += cap(p.raw); p.shop.held > maxHeld {
		return errLarge
	}
	n := copy(p.raw, before)
	codec := p.codec
	if !packed {
		codec = format.Uncompressed
	}
	return p.shop.inflate(codec, p.raw[n:], src)
}

// sized is a buffer of n bytes with padding behind them, b itself when it is
// large enough.
func sized(b []byte, n int) []byte {
	if cap(b) < n+padding {
		b = make([]byte, n+padding)
	}
	return b[:n]
}

func (p *pages) dataPage(h *pageHead) (pg page, err error) {
	d := &h.Data.V
	if d.NumValues < 0 {
		return pg, errPage
	}
	pg = page{rows: int(d.NumValues), encoding: d.Encoding}
	if err = p.unpack(nil, p.shop.packed, int(h.Unpacked), true); err != nil {
		return pg, err
	}
	pg.values = p.raw
	if p.optional {
		if d.Levels != format.RLE {
			return pg, fmt.Errorf("its levels are in the old encoding %s; write the file again with a newer program", d.Levels)
		}
		pg.levels, pg.values, err = prefixed(p.raw)
	}
	return pg, err
}

// prefixed cuts b behind the part whose length stands in the first four bytes.
func prefixed(b []byte) (part, rest []byte, err error) {
	if len(b) < 4 {
		return nil, nil, errPage
	}
	n := int64(binary.LittleEndian.Uint32(b))
	if n > int64(len(b)-4) {
		return nil, nil, errPage
	}
	return b[4 : 4+n], b[4+n:], nil
}

// dataPageV2 keeps levels unpacked in front of the values; levels of
// repetition, which some writers leave in where nothing repeats, are dropped.
func (p *pages) dataPageV2(h *pageHead) (pg page, err error) {
	d := &h.DataV2.V
	levels, reps := int64(d.LevelsBytes), int64(d.RepetitionsBytes)
	if d.NumValues < 0 || levels < 0 || reps < 0 || levels+reps > int64(h.Packed) || levels+reps > int64(h.Unpacked) {
		return pg, errPage
	}
	b := p.shop.packed[reps:]
	packed := !d.Packed.Valid || d.Packed.V
	if err := p.unpack(b[:levels], b[levels:], int(int64(h.Unpacked)-levels-reps), packed); err != nil {
		return pg, err
	}
	pg = page{rows: int(d.NumValues), encoding: d.Encoding, values: p.raw[levels:]}
	if p.optional {
		pg.levels = p.raw[:levels]
	}
	return pg, nil
}
