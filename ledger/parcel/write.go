package parcel

import (
	"archive/zip"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"runproof/input/jsondoc"
	"runproof/ledger"
)

// Version is the form of job.json.
const Version = "parcel/1"

// Document is job.json.
type Document struct {
	Runproof string           `json:"runproof"` // Version
	Job      ledger.Job       `json:"job"`
	Customer *ledger.Customer `json:"customer,omitempty"`
	Entries  []ledger.Entry   `json:"entries"` // in the order of their happening
	Places   []Place          `json:"places"`  // where files are in the zip, in the order of the entries
}

// Place is where a file of an entry is.
type Place struct {
	SHA256 string `json:"sha256"`
	Path   string `json:"path"` // empty where the file was erased
	entry  ledger.ID
	file   ledger.File
}

// Beside is a file made for the reader, beside those of the entries.
type Beside struct {
	Path  string // in the zip
	Says  string // what it is, for the page
	Write func(io.Writer) error
}

// Job is what is packed.
type Job struct {
	ledger.Job
	Customer *ledger.Customer // nil: not told
	Entries  []ledger.Entry
	Beside   []Beside
	// Open gives the bytes of a file; io.EOF for one that was erased.
	Open func(ledger.File) (io.ReadCloser, error)
}

// Write packs the job.
func Write(w io.Writer, j Job) error {
	doc := Document{Runproof: Version, Job: j.Job, Customer: j.Customer, Entries: ledger.Sorted(j.Entries), Places: []Place{}}
	z := zip.NewWriter(w)
	for _, e := range doc.Entries {
		for _, f := range e.Files {
			p, err := writeFile(z, j, e, f, doc.Places)
			if err != nil {
				return err
			}
			doc.Places = append(doc.Places, p)
		}
	}
	for _, b := range j.Beside {
		if err := add(z, b.Path, b.Write); err != nil {
			return err
		}
	}
	if err := add(z, "job.json", func(w io.Writer) error { return jsondoc.Write(w, doc) }); err != nil {
		return err
	}
	if err := add(z, "index.html", func(w io.Writer) error { return writePage(w, doc, j.Beside) }); err != nil {
		return err
	}
	return z.Close()
}

// Folder is the folder of an entry's files in the zip, without what it is under.
func Folder(e ledger.Entry) string {
	return fmt.Sprintf("%s-%s-%s", e.At.Format("2006-01-02"), e.Kind, e.ID.Short())
}

// writeFile packs a file of an entry; the same bytes go in once.
func writeFile(z *zip.Writer, j Job, e ledger.Entry, f ledger.File, before []Place) (Place, error) {
	p := Place{SHA256: f.SHA256, entry: e.ID, file: f}
	if i := slices.IndexFunc(before, func(q Place) bool { return q.SHA256 == f.SHA256 }); i >= 0 {
		p.Path = before[i].Path
		return p, nil
	}
	r, err := j.Open(f)
	if err == io.EOF {
		return p, nil
	}
	if err != nil {
		return p, err
	}
	defer r.Close()
	p.Path = "files/" + Folder(e) + "/" + f.Name
	return p, add(z, p.Path, func(w io.Writer) error { _, err := io.Copy(w, r); return err })
}

// noTime is the first time that a zip can tell.
var noTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// add writes one file of the zip. It carries no time: the same job gives the same
// bytes.
func add(z *zip.Writer, path string, fn func(io.Writer) error) error {
	method := zip.Deflate
	for _, end := range []string{".gz", ".zst", ".parquet", ".jpg", ".jpeg", ".png", ".zip", ".xlsx", ".webp", ".heic"} {
		if strings.HasSuffix(strings.ToLower(path), end) {
			method = zip.Store // packed already
		}
	}
	w, err := z.CreateHeader(&zip.FileHeader{Name: path, Method: method, Modified: noTime})
	if err != nil {
		return err
	}
	return fn(w)
}
