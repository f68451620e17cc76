package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/formats"
)

// OpenLog opens a log in whatever format it is ("-" is standard input; a folder
// or an archive may hold several, and # and a name behind it chooses) and gives
// its provenance entry. It is read in the background, a few batches ahead.
// closeLog ends the reading; call it even after a failed Read.
func (s *Shell) OpenLog(name string, opts ...formats.Option) (r flowlog.Reader, src fit.Source, closeLog func() error, err error) {
	path, part := logPart(name)
	if folder, ok := logFolder(path); ok {
		return openFolder(name, folder, part, opts)
	}
	f, done, err := s.logFile(path)
	if err != nil {
		return nil, src, nil, err
	}
	defer func() {
		if err != nil {
			done()
		}
	}()
	src.Name = filepath.Base(name)
	size, sum, err := hashOf(f)
	if err != nil {
		return nil, src, nil, missingFile(path, err)
	}
	src.SHA256 = sum
	r, closeReader, err := formats.Open(formats.Source{Name: path, Stream: f, At: f, Size: size, Part: part}, opts...)
	if err != nil {
		return nil, src, nil, err
	}
	ahead, stop := flowlog.Ahead(r)
	return ahead, src, func() error {
		stop()
		closeReader()
		return done()
	}, nil
}

// logPart splits the part of a log that is meant from the log's name. A file
// whose own name has a # in it is meant whole.
func logPart(name string) (path, part string) {
	at := strings.LastIndexByte(name, '#')
	if at <= 0 {
		return name, ""
	}
	if _, err := os.Stat(name); err == nil {
		return name, ""
	}
	return name[:at], name[at+1:]
}

// logFolder is the folder that a name means: itself, or the one around a
// TASKDATA.XML.
func logFolder(path string) (folder string, ok bool) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return "", false
	case info.IsDir():
		return path, true
	}
	return filepath.Dir(path), strings.EqualFold(filepath.Base(path), "TASKDATA.XML")
}

// openFolder opens a folder of files as a log.
func openFolder(name, folder, part string, opts []formats.Option) (r flowlog.Reader, src fit.Source, closeLog func() error, err error) {
	root := os.DirFS(folder)
	src.Name = filepath.Base(name)
	if src.SHA256, err = hashOfFolder(root); err != nil {
		return nil, src, nil, missingFile(folder, err)
	}
	r, closeReader, err := formats.Open(formats.Source{Name: folder, Folder: root, Part: part}, opts...)
	if err != nil {
		return nil, src, nil, err
	}
	ahead, stop := flowlog.Ahead(r)
	return ahead, src, func() error {
		stop()
		closeReader()
		return nil
	}, nil
}

// hashOfFolder is the hash of the names, lengths and bytes of a folder's files.
func hashOfFolder(root fs.FS) (string, error) {
	h := sha256.New()
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		f, err := root.Open(name)
		if err != nil {
			return err
		}
		defer f.Close()
		inner := sha256.New()
		n, err := io.Copy(inner, f)
		fmt.Fprintf(h, "%s\n%d\n%x\n", name, n, inner.Sum(nil))
		return err
	})
	return hex.EncodeToString(h.Sum(nil)), err
}

// logFile is the log as a file that can be read twice, once for its hash.
// Standard input and pipes go through a temporary file.
func (s *Shell) logFile(name string) (f *os.File, done func() error, err error) {
	if name == "-" {
		return spool(name, s.In)
	}
	f, err = os.Open(name)
	if err != nil {
		return nil, nil, missingFile(name, err)
	}
	if info, err := f.Stat(); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		defer f.Close()
		return spool(name, f)
	}
	return f, f.Close, nil
}

// spool copies src to a temporary file, which done removes.
func spool(name string, src io.Reader) (f *os.File, done func() error, err error) {
	f, err = os.CreateTemp("", "runproof-*.log")
	if err != nil {
		return nil, nil, err
	}
	done = func() error {
		err := f.Close()
		os.Remove(f.Name())
		return err
	}
	if _, err = io.Copy(f, src); err == nil {
		_, err = f.Seek(0, io.SeekStart)
	}
	if err != nil {
		done()
		return nil, nil, missingFile(name, err)
	}
	return f, done, nil
}

// hashOf reads the file to its end and goes back to the start.
func hashOf(f *os.File) (size int64, sum string, err error) {
	h := sha256.New()
	if size, err = io.Copy(h, f); err == nil {
		_, err = f.Seek(0, io.SeekStart)
	}
	return size, hex.EncodeToString(h.Sum(nil)), err
}
