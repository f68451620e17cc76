package formats

import (
	"io"
	"io/fs"

	"runproof/flowlog"
)

// Source is a file to read, or a folder. Name is for messages only. A format
// that jumps about in the file (Parquet) uses At, when there is one; from a bare
// Stream it would have to hold the whole file in memory.
type Source struct {
	Name   string
	Stream io.Reader   // from the start
	At     io.ReaderAt // the same bytes, or nil
	Size   int64       // of At, in bytes
	Folder fs.FS       // in place of all these
	Part   string      // which log of a folder or an archive; "" is all
	cut    bool        // the folder is an archive that lost its end
	again  again       // the bytes of Stream once more, or nil
}

// Format is one way of storing a log.
type Format interface {
	// Name is what a person calls it: "Parquet".
	Name() string
	// Owns says whether a file that begins with head is this format's. head is
	// the first kibibyte, or less when the file is shorter.
	Owns(head []byte) bool
	// Open reads the head of the log.
	Open(src Source, o Options) (flowlog.Reader, error)
}

// Creator is a format that can be written, too.
type Creator interface {
	Format
	// Suffix is the end of the names of its files, such as ".parquet".
	Suffix() string
	// Create writes the head of a log.
	Create(w io.Writer, s flowlog.Schema) (flowlog.Writer, error)
}

// all is every format but text, in the order in which they are asked. A new one
// joins here, from a file of its own.
var all = []Format{parquetFormat{}, nmeaFormat{}, gpxFormat{}, canFormat{}}

// text takes what nobody else wants, and says what is wrong with it.
var text Creator = csvFormat{}
