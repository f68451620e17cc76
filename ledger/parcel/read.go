package parcel

import (
	"archive/zip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"

	"runproof/input"
	"runproof/input/jsondoc"
	"runproof/ledger"
)

// Bounds of what is unpacked.
const (
	maxEntries  = 200_000
	maxZipFiles = 200_000
	maxDocument = 256 << 20
	maxFile     = 16 << 30
)

// Parcel is a packed job under reading.
type Parcel struct {
	Document
	zip map[string]*zip.File
}

// Read opens a parcel and checks its document; name is the file's name for
// messages. The error is an input.Fault, or Faults.
func Read(r io.ReaderAt, size int64, name string) (*Parcel, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fault(name, "not a zip: "+err.Error())
	}
	if len(z.File) > maxZipFiles {
		return nil, fault(name, fmt.Sprintf("holds %d files, far more than a job has", len(z.File)))
	}
	p := &Parcel{zip: map[string]*zip.File{}}
	for _, f := range z.File {
		p.zip[f.Name] = f
	}
	doc, ok := p.zip["job.json"]
	if !ok {
		return nil, fault(name, "has no job.json in it")
	}
	if doc.UncompressedSize64 > maxDocument {
		return nil, fault(name, "its job.json is larger than any job's")
	}
	text, err := doc.Open()
	if err != nil {
		return nil, fault(name, "its job.json cannot be unpacked: "+err.Error())
	}
	defer text.Close()
	form := jsondoc.Form{What: "a packed job", Version: Version, Command: "runproof job export"}
	if err := jsondoc.Read(io.LimitReader(text, maxDocument), name+"#job.json", form, &p.Document, &p.Runproof); err != nil {
		return nil, err
	}
	return p, p.check(name)
}

func fault(name, what string) error {
	return input.Fault{Place: input.Place{File: name}, What: what, Remedy: "name a file that runproof job export wrote"}
}

// check wants sound entries of one job, and a place for each of their files.
func (p *Parcel) check(name string) error {
	if len(p.Entries) > maxEntries {
		return fault(name, fmt.Sprintf("has %d entries, far more than a job has", len(p.Entries)))
	}
	placed := map[string]string{}
	for _, pl := range p.Places {
		if f, ok := p.zip[pl.Path]; pl.Path != "" && (!ok || f.UncompressedSize64 > maxFile) {
			return fault(name, fmt.Sprintf("names a file %q that is not in it, or is too large", pl.Path))
		}
		placed[pl.SHA256] = pl.Path
	}
	for i, e := range p.Entries {
		if err := e.Check(); err != nil {
			return fmt.Errorf("%s: entry %d: %w", name, i+1, err)
		}
		if e.Job != p.Job.ID {
			return fault(name, fmt.Sprintf("entry %d is of another job", i+1))
		}
		for _, f := range e.Files {
			if _, ok := placed[f.SHA256]; !ok {
				return fault(name, fmt.Sprintf("entry %d speaks of a file %s that has no place", i+1, f.Name))
			}
		}
	}
	if p.Customer != nil {
		if err := p.Customer.Check(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	_, err := ledger.JobOf(p.Entries)
	return err
}

// Each gives every file that the entries hold to fn, once, and wants fn to read
// it to its end. A file whose bytes have another hash, or more or fewer bytes than is said, is a fault
// after fn has seen it: what fn made of it must be named by its own hash.
func (p *Parcel) Each(fn func(f ledger.File, r io.Reader) error) error {
	done := map[string]bool{"": true}
	place := map[string]string{}
	for _, pl := range p.Places {
		place[pl.SHA256] = pl.Path
	}
	for _, e := range p.Entries {
		for _, f := range e.Files {
			if done[f.SHA256] || place[f.SHA256] == "" {
				continue
			}
			done[f.SHA256] = true
			if err := p.file(place[f.SHA256], f, fn); err != nil {
				return err
			}
		}
	}
	return nil
}

func (p *Parcel) file(path string, f ledger.File, fn func(ledger.File, io.Reader) error) error {
	at := input.Place{File: path}
	remedy := "export the job again"
	if p.zip[path].UncompressedSize64 != uint64(f.Bytes) {
		return input.Fault{Place: at, What: fmt.Sprintf("has %d bytes, not the %d that are said of it", p.zip[path].UncompressedSize64, f.Bytes), Remedy: remedy}
	}
	r, err := p.zip[path].Open()
	if err != nil {
		return input.Fault{Place: at, What: "cannot be unpacked: " + err.Error(), Remedy: remedy}
	}
	defer r.Close()
	sum := sha256.New()
	if err := fn(f, io.TeeReader(io.LimitReader(r, f.Bytes), sum)); err != nil {
		if errors.Is(err, zip.ErrChecksum) || errors.Is(err, io.ErrUnexpectedEOF) {
			return input.Fault{Place: at, What: "is damaged: " + err.Error(), Remedy: remedy}
		}
		return err
	}
	if hex.EncodeToString(sum.Sum(nil)) != f.SHA256 {
		return input.Fault{Place: at, What: "is damaged: its bytes have another hash", Remedy: remedy}
	}
	return nil
}

// Erased are the hashes of files that the parcel speaks of and does not hold.
func (p *Parcel) Erased() map[string]bool {
	out := map[string]bool{}
	for _, pl := range p.Places {
		if pl.Path == "" {
			out[pl.SHA256] = true
		}
	}
	return out
}
