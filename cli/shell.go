package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/input/jsondoc"
	"runproof/parts"
)

// Shell is the world a command runs in: standard streams, and what it has to
// say at the end.
type Shell struct {
	In       io.Reader
	Out, Err io.Writer
	JSON     bool // print the result document on Out instead of the summary

	Now    func() time.Time // the clock; nil is the machine's
	Chance io.Reader        // where ids of the ledger get their chance; nil is the machine's

	attention bool
}

// Attention makes the exit status 1: done, but something needs a person.
func (s *Shell) Attention() { s.attention = true }

// Summary prints a line for the person, unless --json was asked.
func (s *Shell) Summary(format string, args ...any) {
	if !s.JSON {
		fmt.Fprintf(s.Out, format+"\n", args...)
	}
}

// Warn prints a line on standard error.
func (s *Shell) Warn(format string, args ...any) { fmt.Fprintf(s.Err, format+"\n", args...) }

// EmitJSON prints the result document on Out when --json was asked.
func (s *Shell) EmitJSON(doc any) error {
	if !s.JSON {
		return nil
	}
	return jsondoc.Write(s.Out, doc)
}

// ReadInput returns the whole of a small input file ("-" is standard input)
// and its provenance entry.
func (s *Shell) ReadInput(name string) ([]byte, fit.Source, error) {
	var b []byte
	var err error
	if name == "-" {
		b, err = io.ReadAll(s.In)
	} else {
		b, err = os.ReadFile(name)
	}
	if err != nil {
		return nil, fit.Source{}, missingFile(name, err)
	}
	sum := sha256.Sum256(b)
	return b, fit.Source{Name: filepath.Base(name), SHA256: hex.EncodeToString(sum[:])}, nil
}

// ReadDrill reads and checks a drill description.
func (s *Shell) ReadDrill(name string) (*drill.Drill, fit.Source, error) {
	b, src, err := s.ReadInput(name)
	if err != nil {
		return nil, src, err
	}
	d, err := drill.Read(bytes.NewReader(b), name)
	return d, src, err
}

// ReadFit reads a fit document.
func (s *Shell) ReadFit(name string) (*fit.Fit, fit.Source, error) {
	b, src, err := s.ReadInput(name)
	if err != nil {
		return nil, src, err
	}
	f, err := fit.Read(bytes.NewReader(b), name)
	return f, src, err
}

// readDocument reads a document; nil where no file is named.
func readDocument[T any](s *Shell, name string, read func(io.Reader, string) (*T, error)) (*T, error) {
	if name == "" {
		return nil, nil
	}
	b, _, err := s.ReadInput(name)
	if err != nil {
		return nil, err
	}
	return read(bytes.NewReader(b), name)
}

// readCatalogue is the built-in catalogue with the parts of the file, if one is
// named, and that file's provenance entry.
func (s *Shell) readCatalogue(name string) (parts.Catalogue, []fit.Source, error) {
	cat := parts.BuiltIn()
	if name == "" {
		return cat, nil, nil
	}
	b, src, err := s.ReadInput(name)
	if err != nil {
		return cat, nil, err
	}
	cat, err = cat.With(bytes.NewReader(b), name)
	return cat, []fit.Source{src}, err
}

// WriteFile writes through fn to name ("-" is standard output). The file
// appears whole, by renaming, or not at all.
func (s *Shell) WriteFile(name string, fn func(io.Writer) error) (err error) {
	if name == "-" {
		return fn(s.Out)
	}
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return input.Fault{Place: input.Place{File: name}, What: "cannot be written: " + plainOS(err), Remedy: "name a folder that exists and can be written to"}
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err := fn(f); err != nil {
		return err
	}
	if err := f.Chmod(0o644); err != nil && !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

// makeDir makes a folder for results.
func (s *Shell) makeDir(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return input.Fault{Place: input.Place{File: dir}, What: "cannot be made a folder: " + plainOS(err), Remedy: "name another folder"}
	}
	return nil
}

// inFile gives a fault without a place the file it is about.
func inFile(err error, name string) error {
	var f input.Fault
	if errors.As(err, &f) && f.Place.File == "" {
		f.Place.File = name
		return f
	}
	return err
}

func missingFile(name string, err error) error {
	return input.Fault{Place: input.Place{File: name}, What: plainOS(err), Remedy: "check the file's name"}
}

// plainOS is the operating system's reason without the path it repeats.
func plainOS(err error) string {
	var pe *os.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}
