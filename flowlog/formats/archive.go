package formats

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
	"time"

	"runproof/input"
)

func isArchive(head []byte) bool {
	return bytes.HasPrefix(head, []byte("PK\x03\x04")) || bytes.HasPrefix(head, []byte("PK\x05\x06"))
}

// maxUnpacked is the most that an archive may unpack to, in bytes, all its files
// and all their readings together.
const maxUnpacked = 16 << 30

// maxArchive is the largest archive, in bytes, that is read from a stream.
const maxArchive = 1 << 30

// unzip makes a folder of an archive. One whose directory is lost, because the
// copy broke off, is read from its front.
func unzip(src Source) (Source, error) {
	if src.At == nil {
		b, err := readAll(src, maxArchive)
		if err != nil {
			return src, err
		}
		src.At, src.Size = bytes.NewReader(b), int64(len(b))
	}
	left := int64(maxUnpacked)
	z, err := zip.NewReader(src.At, src.Size)
	if err == nil {
		src.Folder = budgeted{z, &left}
		return src, nil
	}
	rest := salvage(src.At, src.Size)
	if len(rest) == 0 {
		return src, input.Fault{
			Place: input.Place{File: src.Name}, What: "the zip archive is damaged: " + strings.TrimPrefix(err.Error(), "zip: "),
			Remedy: "copy the file again from the recorder",
		}
	}
	src.Folder, src.cut = budgeted{rest, &left}, true
	return src, nil
}

// budgeted is a folder whose files together may give only so many bytes.
type budgeted struct {
	fs.FS
	left *int64
}

func (b budgeted) Open(name string) (fs.File, error) {
	f, err := b.FS.Open(name)
	if err != nil {
		return nil, err
	}
	if d, ok := f.(fs.ReadDirFile); ok {
		return d, nil
	}
	return budgetedFile{f, b.left}, nil
}

type budgetedFile struct {
	fs.File
	left *int64
}

func (f budgetedFile) Read(p []byte) (int, error) {
	if *f.left <= 0 {
		return 0, fmt.Errorf("the archive unpacks to more than %d GiB", maxUnpacked>>30)
	}
	n, err := f.File.Read(p[:min(int64(len(p)), *f.left)])
	*f.left -= int64(n)
	return n, err
}

// entry is a file inside an archive whose directory is lost.
type entry struct {
	name   string
	method uint16
	data   *io.SectionReader
}

// entries are such files in the order in which they stand.
type entries []entry

// salvage finds the files of an archive by their own headers, front to back.
// The last may be cut short. A header that does not tell its length leaves it
// to the packed data to end by themselves.
func salvage(at io.ReaderAt, size int64) entries {
	const fixed, maxEntries = 30, 20000
	var found entries
	for pos := int64(0); len(found) < maxEntries; {
		var h [fixed]byte
		if n, _ := at.ReadAt(h[:], pos); n < fixed || string(h[:4]) != "PK\x03\x04" {
			return found
		}
		flags, method := binary.LittleEndian.Uint16(h[6:]), binary.LittleEndian.Uint16(h[8:])
		packed := int64(binary.LittleEndian.Uint32(h[18:]))
		name := make([]byte, binary.LittleEndian.Uint16(h[26:]))
		if n, _ := at.ReadAt(name, pos+fixed); n < len(name) {
			return found
		}
		start := pos + fixed + int64(len(name)) + int64(binary.LittleEndian.Uint16(h[28:]))
		e := entry{name: string(name), method: method, data: io.NewSectionReader(at, start, max(size-start, 0))}
		const streamed, encrypted = 8, 1
		switch {
		case flags&encrypted != 0 || method != zip.Deflate && method != zip.Store || packed == 0xffffffff:
			return found
		case flags&streamed != 0 && method == zip.Store:
			return found
		case flags&streamed != 0:
			packed = deflated(e.data)
			pos = descriptorEnd(at, start+packed)
		default:
			e.data = io.NewSectionReader(at, start, min(packed, max(size-start, 0)))
			pos = start + packed
		}
		if fs.ValidPath(e.name) && !strings.HasSuffix(e.name, "/") {
			found = append(found, e)
		}
	}
	return found
}

// deflated is how many bytes of src a deflate stream takes up.
func deflated(src io.Reader) int64 {
	c := &counting{src: bufio.NewReader(src)}
	io.Copy(io.Discard, io.LimitReader(flate.NewReader(c), maxUnpacked))
	return c.n
}

// descriptorEnd is where the next header stands behind the lengths that follow
// a streamed file: 12 bytes or 20, with or without a mark of 4.
func descriptorEnd(at io.ReaderAt, pos int64) int64 {
	var b [28]byte
	n, _ := at.ReadAt(b[:], pos)
	for _, d := range []int{16, 12, 24, 20} {
		if d+4 <= n && b[d] == 'P' && b[d+1] == 'K' {
			return pos + int64(d)
		}
	}
	return pos + 16
}

// Open opens one of the files, or the folder itself.
func (es entries) Open(name string) (fs.File, error) {
	for i := range es {
		if es[i].name == name {
			return es[i].open(), nil
		}
	}
	if l := es.list(name); name == "." || len(l.es) > 0 {
		return l, nil
	}
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

func (e *entry) open() fs.File {
	data := io.NewSectionReader(e.data, 0, e.data.Size())
	if e.method == zip.Store {
		return &entryFile{e, data}
	}
	return &entryFile{e, flate.NewReader(data)}
}

type entryFile struct {
	e *entry
	io.Reader
}

func (f *entryFile) Stat() (fs.FileInfo, error) { return f.e, nil }
func (f *entryFile) Close() error               { return nil }

// Read ends where the data end, even when they end too early: what reads them
// sees a file cut short.
func (f *entryFile) Read(p []byte) (int, error) {
	n, err := f.Reader.Read(p)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = io.EOF
	}
	return n, err
}

// The rest makes an entry its own FileInfo and DirEntry.

func (e *entry) Name() string               { return path.Base(e.name) }
func (e *entry) Size() int64                { return e.data.Size() }
func (e *entry) Mode() fs.FileMode          { return 0o444 }
func (e *entry) ModTime() time.Time         { return time.Time{} }
func (e *entry) IsDir() bool                { return false }
func (e *entry) Sys() any                   { return nil }
func (e *entry) Type() fs.FileMode          { return 0 }
func (e *entry) Info() (fs.FileInfo, error) { return e, nil }
