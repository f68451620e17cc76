package parquet

import (
	"encoding/binary"
	"fmt"
	"io"

	"github.com/parquet-go/parquet-go/deprecated"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"

	"runproof/input"
)

// The parts of Parquet's metadata that a log needs, under the numbers of
// parquet.thrift (https://github.com/apache/parquet-format). Fields left out are
// skipped as they are read, which keeps a footer's memory near its own size.
type (
	footer struct {
		Schema    thrift.Slice[element]  `thrift:"2,required"`
		RowGroups thrift.Slice[rowGroup] `thrift:"4,required"`
	}

	element struct {
		Type        thrift.Null[format.Type]              `thrift:"1,optional"`
		TypeLength  int32                                 `thrift:"2,optional"`
		Repetition  format.FieldRepetitionType            `thrift:"3,optional"`
		Name        string                                `thrift:"4,required"`
		NumChildren int32                                 `thrift:"5,optional"`
		Converted   thrift.Null[deprecated.ConvertedType] `thrift:"6,optional"`
		Scale       int32                                 `thrift:"7,optional"`
		Logical     format.LogicalType                    `thrift:"10,optional"`
	}

	rowGroup struct {
		Columns thrift.Slice[chunk] `thrift:"1,required"`
		NumRows int64               `thrift:"3,required"`
	}

	chunk struct {
		FilePath string        `thrift:"1,optional"`
		Meta     chunkMetaData `thrift:"3,optional"`
		Crypto   cryptoMark    `thrift:"8,optional"`
	}

	chunkMetaData struct {
		Type                 format.Type             `thrift:"1,required"`
		Codec                format.CompressionCodec `thrift:"4,required"`
		NumValues            int64                   `thrift:"5,required"`
		TotalCompressedSize  int64                   `thrift:"7,required"`
		DataPageOffset       int64                   `thrift:"9,required"`
		DictionaryPageOffset int64                   `thrift:"11,optional"`
	}

	// cryptoMark tells only that a column is encrypted.
	cryptoMark struct {
		FooterKey thrift.Null[struct{}] `thrift:"1,optional"`
		ColumnKey thrift.Null[struct{}] `thrift:"2,optional"`
	}
)

// maxFooter is the largest footer that is read, in bytes: five hundred row
// groups of a hundred columns.
const maxFooter = 8 << 20

const magic = "PAR1"

// readFooter reads what stands at the end of the file.
func readFooter(src io.ReaderAt, size int64, file string) (*footer, error) {
	fault := func(what, remedy string) error {
		return input.Fault{Place: input.Place{File: file}, What: what, Remedy: remedy}
	}
	const cut = "Parquet keeps its footer at the end, and without it nothing can be read; copy the file again from the recorder"
	var tail [8]byte
	if size < 12 {
		return nil, fault("the Parquet file is cut short", cut)
	}
	if err := readAt(src, tail[:], size-8); err != nil {
		return nil, fault("the end of the file cannot be read: "+err.Error(), cut)
	}
	length := int64(binary.LittleEndian.Uint32(tail[:]))
	switch {
	case string(tail[4:]) == "PARE":
		return nil, fault("the Parquet file is encrypted", "write it again without encryption")
	case string(tail[4:]) != magic:
		return nil, fault("the Parquet file is cut short: its footer is missing", cut)
	case length > size-12:
		return nil, fault("the Parquet file's footer is damaged: it claims to be longer than the file", cut)
	case length > maxFooter:
		return nil, fault(fmt.Sprintf("the Parquet file's footer has %d MiB, more than the %d that are read", length>>20, maxFooter>>20), "write it again with larger row groups or fewer columns")
	}
	b := make([]byte, length)
	if err := readAt(src, b, size-8-length); err != nil {
		return nil, fault("the end of the file cannot be read: "+err.Error(), cut)
	}
	var f footer
	if _, err := decode(b, &f); err != nil {
		return nil, fault("the Parquet file's footer is damaged: "+err.Error(), cut)
	}
	return &f, nil
}

// readAt fills b; an early end is an error that says so.
func readAt(src io.ReaderAt, b []byte, at int64) error {
	n, err := src.ReadAt(b, at)
	if n == len(b) {
		return nil
	}
	if err == nil || err == io.EOF {
		return io.ErrUnexpectedEOF
	}
	return err
}
