package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/formats"
)

// OpenLog opens a log in whatever format it is ("-" is standard input) and
// gives its provenance entry. It is read in the background, a few batches ahead.
// closeLog ends the reading; call it even after a failed Read.
func (s *Shell) OpenLog(name string, opts ...formats.Option) (r flowlog.Reader, src fit.Source, closeLog func() error, err error) {
	f, done, err := s.logFile(name)
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
		return nil, src, nil, missingFile(name, err)
	}
	src.SHA256 = sum
	r, closeReader, err := formats.Open(formats.Source{Name: name, Stream: f, At: f, Size: size}, opts...)
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
