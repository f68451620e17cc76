package formats

import (
	"bufio"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// entryList is the folder of a damaged archive, or one folder in it.
type entryList struct {
	es   []fs.DirEntry
	name string
}

// list gives the files and folders right inside a folder of the archive.
func (es entries) list(folder string) *entryList {
	l := &entryList{name: folder}
	seen := map[string]bool{}
	for i := range es {
		rest := es[i].name
		if folder != "." {
			var inside bool
			if rest, inside = strings.CutPrefix(rest, folder+"/"); !inside {
				continue
			}
		}
		first, _, deeper := strings.Cut(rest, "/")
		switch {
		case seen[first]:
		case deeper:
			l.es = append(l.es, &entryList{name: path.Join(folder, first)})
		default:
			l.es = append(l.es, &es[i])
		}
		seen[first] = true
	}
	slices.SortFunc(l.es, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return l
}

// ReadDir gives the folder's list.
func (l *entryList) ReadDir(n int) ([]fs.DirEntry, error) {
	if n <= 0 {
		es := l.es
		l.es = nil
		return es, nil
	}
	if len(l.es) == 0 {
		return nil, io.EOF
	}
	n = min(n, len(l.es))
	es := l.es[:n]
	l.es = l.es[n:]
	return es, nil
}

func (l *entryList) Stat() (fs.FileInfo, error) { return l, nil }
func (l *entryList) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: l.name, Err: fs.ErrInvalid}
}
func (l *entryList) Close() error               { return nil }
func (l *entryList) Name() string               { return path.Base(l.name) }
func (l *entryList) Size() int64                { return 0 }
func (l *entryList) Mode() fs.FileMode          { return fs.ModeDir | 0o555 }
func (l *entryList) Type() fs.FileMode          { return fs.ModeDir }
func (l *entryList) ModTime() time.Time         { return time.Time{} }
func (l *entryList) IsDir() bool                { return true }
func (l *entryList) Sys() any                   { return nil }
func (l *entryList) Info() (fs.FileInfo, error) { return l, nil }

// counting counts the bytes that a decompressor takes. It gives them one by one,
// so that the decompressor does not take more than it needs.
type counting struct {
	src *bufio.Reader
	n   int64
}

func (c *counting) ReadByte() (byte, error) {
	b, err := c.src.ReadByte()
	if err == nil {
		c.n++
	}
	return b, err
}

func (c *counting) Read(p []byte) (int, error) {
	n, err := c.src.Read(p)
	c.n += int64(n)
	return n, err
}
