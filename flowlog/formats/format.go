package formats

import (
	"io"

	"runproof/flowlog"
)

// Source is a file to read. Name is for messages and suffixes only. A format
// that jumps about in the file (Parquet) uses At, when there is one; from a
// bare Stream it would have to hold the whole file in memory.
type Source struct {
	Name   string
	Stream io.Reader   // from the start
	At     io.ReaderAt // the same bytes, or nil
	Size   int64       // of At, in bytes
}

// Format is one way of storing a log. A new one joins the list below from a
// file of its own.
type Format interface {
	// Name is what a person calls it: "Parquet".
	Name() string
	// Owns says whether a file that begins with head is this format's. head is
	// the first kibibyte, or less when the file is shorter.
	Owns(head []byte) bool
	// Open reads the head of the log. keep chooses columns; nil keeps all.
	Open(src Source, keep func(flowlog.Column) bool) (flowlog.Reader, error)
	// Suffix is the end of the names of its files, such as ".parquet"; empty
	// when the format is only read.
	Suffix() string
	// Create writes the head of a log.
	Create(w io.Writer, s flowlog.Schema) (flowlog.Writer, error)
}

// all is every format, in the order in which they are asked. Text comes last:
// it takes what nobody else wants, and says what is wrong with it.
var all = []Format{csvFormat{}}
