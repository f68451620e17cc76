package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"runproof/drill"
	"runproof/fit"
	"runproof/input"
	"runproof/ledger"
	"runproof/store"
)

type jobAddCmd struct {
	Job   string   `arg:"" help:"The job."`
	What  []string `arg:"" optional:"" name:"file" help:"Files: drill.yaml, fit, proof, rules, the folder of a review, pictures, any other paper."`
	As    string   `placeholder:"KIND" help:"What they are where they do not say it: walk, proof, rules, review, photo, note, paper. They become one entry."`
	Note  string   `placeholder:"TEXT" help:"What was seen or said."`
	Onto  []string `placeholder:"HASH" help:"A fit takes the place of this one (the first digits of its hash), although it was not made from it. Where fits stand side by side, name each that it settles."`
	Moved bool     `help:"Serials of the fit that the record has elsewhere were moved."`

	noteFlags
	ledgerFlags
}

func (*jobAddCmd) Help() string {
	return "Adds to a job's history: each document as what it says it is, pictures as a photo. A fit must follow the one that stands; " +
		"where somebody else was first, nothing is overwritten, and a person decides.\n\n" +
		"Examples: runproof job add north-farm fit-proved.json proof.json rules.json --why \"proved in the yard\"\n" +
		"          runproof job add north-farm review/ --on 2026-05-12\n" +
		"          runproof job add north-farm IMG_0142.jpg --note \"boot of C-7 worn through\""
}

// addedDoc is the result document of commands that add to a job.
type addedDoc struct {
	Runproof string         `json:"runproof"` // added/1
	Job      ledger.Job     `json:"job"`
	Entries  []ledger.Entry `json:"entries"`
}

func (c *jobAddCmd) Run(s *Shell) error {
	if len(c.What) == 0 && c.Note == "" {
		return input.Fault{What: "there is nothing to add", Remedy: "name files, or say --note"}
	}
	d, err := c.draft(ledger.Note)
	if err != nil {
		return err
	}
	d.Text, d.Moved = c.Note, c.Moved
	l, err := c.ledgerFlags.open(s)
	if err != nil {
		return err
	}
	defer l.Close()
	found, err := c.gather(s, l)
	if err != nil {
		return err
	}
	doc := addedDoc{Runproof: "added/1", Entries: []ledger.Entry{}}
	if err := l.Write(context.Background(), func(tx *store.Tx) error {
		doc.Entries = doc.Entries[:0]
		if doc.Job, err = tx.Job(c.Job); err != nil {
			return err
		}
		for _, a := range found {
			e, err := a.append(tx, doc.Job, d, c.Onto)
			if err != nil {
				return err
			}
			doc.Entries = append(doc.Entries, e)
		}
		return nil
	}); err != nil {
		return err
	}
	return s.added(doc)
}

// added tells what came into a job.
func (s *Shell) added(doc addedDoc) error {
	for _, e := range doc.Entries {
		s.historyLine(e)
	}
	return s.EmitJSON(doc)
}

// gather keeps the files and says what entries they make.
func (c *jobAddCmd) gather(s *Shell, l *store.Ledger) ([]addition, error) {
	var found []addition
	for _, name := range c.What {
		a, err := s.addition(l, name)
		if err != nil {
			return nil, err
		}
		if n := len(found); n > 0 && a.kind == ledger.Photo && found[n-1].kind == ledger.Photo || n > 0 && c.As != "" {
			found[n-1].files = append(found[n-1].files, a.files...)
			continue
		}
		found = append(found, a)
	}
	switch {
	case len(found) == 0:
		return []addition{{kind: ledger.Note}}, nil
	case c.As == "":
		return found, nil
	}
	err := found[0].kind.UnmarshalText([]byte(c.As))
	switch found[0].kind {
	case ledger.Opened, ledger.Fit, ledger.Swap, ledger.Forgotten:
		err = input.Fault{What: "--as " + c.As + " cannot be added so", Remedy: "a fit says itself that it is one; a swap has a command of its own"}
	case ledger.Log:
		err = input.Fault{What: "--as log would not look into the recording", Remedy: "use runproof job add-log"}
	}
	found[0].fit = nil
	return found[:1], err
}

// addition is an entry in the making, whose files the ledger holds already.
type addition struct {
	kind  ledger.Kind
	files []ledger.File
	fit   *fit.Fit
	says  string // what the document comes to
}

// attach keeps the pictures and papers that belong to an entry.
func (s *Shell) attach(l *store.Ledger, d *store.Draft, names []string) error {
	for _, name := range names {
		a, err := s.addition(l, name)
		if err != nil {
			return err
		}
		d.Files = append(d.Files, a.files...)
	}
	return nil
}

// maxRead is how long a file may be to be asked what it is: no document is longer.
const maxRead = 64 << 20

// addition looks at a file or a folder, and keeps it.
func (s *Shell) addition(l *store.Ledger, name string) (addition, error) {
	info, err := os.Stat(name)
	if err != nil {
		return addition{}, missingFile(name, err)
	}
	if info.IsDir() {
		return folderAddition(l, name)
	}
	if info.Size() > maxRead {
		f, err := keepFile(l, name, filepath.Base(name))
		return addition{kind: kindOfFile(name, nil), files: []ledger.File{f}}, err
	}
	b, err := os.ReadFile(name)
	if err != nil {
		return addition{}, missingFile(name, err)
	}
	a := addition{kind: kindOfFile(name, b)}
	switch a.kind {
	case ledger.Fit:
		a.fit, err = fit.Read(bytes.NewReader(b), name)
	case ledger.Survey:
		var d *drill.Drill
		if d, err = drill.Read(bytes.NewReader(b), name); err == nil {
			a.says = strings.TrimPrefix(fmt.Sprintf("%s, %d rows, %s", d.Name, d.Rows.Count, plural(len(d.Heads), "head")), ", ")
		}
	default:
		a.says, err = gist(a.kind, b, name)
	}
	if err != nil {
		return a, err
	}
	f, err := keepBytes(l, b, filepath.Base(name))
	a.files = []ledger.File{f}
	return a, err
}

// documentKinds are the kinds of entries that documents make.
var documentKinds = map[string]ledger.Kind{
	"fit": ledger.Fit, "drill": ledger.Survey, "proof": ledger.Proof, "rules": ledger.Rules,
	"events": ledger.Review, "season": ledger.Review, "replay": ledger.Review, "cost": ledger.Review,
}

// kindOfFile is what a file says it is.
func kindOfFile(name string, b []byte) ledger.Kind {
	if strings.HasPrefix(ledger.MediaOf(name), "image/") && !strings.HasSuffix(name, ".svg") {
		return ledger.Photo
	}
	var doc struct {
		Runproof string `json:"runproof"`
	}
	if json.Unmarshal(b, &doc) != nil {
		for l := range strings.Lines(string(b[:min(len(b), 1000)])) {
			if v, ok := strings.CutPrefix(l, "runproof:"); ok {
				doc.Runproof = strings.Trim(strings.TrimSpace(v), `"'`)
			}
		}
	}
	form, _, _ := strings.Cut(doc.Runproof, "/")
	if k, ok := documentKinds[form]; ok {
		return k
	}
	return ledger.Paper
}

// folderAddition keeps a folder: that of a review by its events.json, else papers.
func folderAddition(l *store.Ledger, dir string) (addition, error) {
	a := addition{kind: ledger.Paper}
	base := filepath.Base(filepath.Clean(dir))
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		if name == "events.json" || name == "season.json" || name == "replay.json" {
			a.kind = ledger.Review
		}
		if name == "events.json" {
			b, err := fs.ReadFile(os.DirFS(dir), name)
			if err != nil {
				return err
			}
			if a.says, err = gist(a.kind, b, filepath.Join(dir, name)); err != nil {
				return err
			}
		}
		f, err := keepFile(l, filepath.Join(dir, filepath.FromSlash(name)), base+"/"+name)
		a.files = append(a.files, f)
		return err
	})
	if err == nil && len(a.files) == 0 {
		err = input.Fault{Place: input.Place{File: dir}, What: "the folder is empty", Remedy: "name another"}
	}
	return a, err
}

// append adds the entry; a fit is told which it follows.
func (a addition) append(tx *store.Tx, job ledger.Job, d store.Draft, onto []string) (ledger.Entry, error) {
	d.Kind, d.Files = a.kind, a.files
	d.Text = strings.TrimPrefix(d.Text+"\n"+a.says, "\n")
	d.Text = strings.TrimSuffix(d.Text, "\n")
	if a.fit == nil {
		return tx.Append(job, d)
	}
	history, err := tx.History(job.ID)
	if err != nil {
		return ledger.Entry{}, err
	}
	follows, err := followed(a.fit, ledger.Fits(history), onto)
	if err != nil {
		return ledger.Entry{}, err
	}
	d.Revision = ledger.RevisionOf(a.fit, a.files[0].SHA256, follows...)
	if d.Why == "" {
		d.Why = a.fit.Made.Why
	}
	return tx.Append(job, d)
}

// followed are the fits that f follows: those said, else the one it says it was
// made from.
func followed(f *fit.Fit, fits []ledger.Entry, onto []string) ([]ledger.Entry, error) {
	var out []ledger.Entry
	for _, want := range onto {
		n := len(out)
		for _, e := range fits {
			if len(want) >= 4 && strings.HasPrefix(e.Revision.Hash, strings.ToLower(want)) {
				out = append(out, e)
			}
		}
		if len(out) != n+1 {
			return nil, input.Fault{What: fmt.Sprintf("--onto %s names %d fits of the job", want, len(out)-n), Remedy: "give the first digits of one fit's hash, as job show lists it"}
		}
	}
	if len(onto) > 0 {
		return out, nil
	}
	for _, e := range fits {
		if f.Made.Parent != "" && e.Revision.Hash == f.Made.Parent {
			return []ledger.Entry{e}, nil
		}
	}
	return nil, nil
}
