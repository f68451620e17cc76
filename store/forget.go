package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"slices"
	"strings"

	"gocloud.dev/gcerrors"

	"runproof/ledger"
)

// Forgetting is what became of a customer's traces.
type Forgetting struct {
	Jobs    []string    `json:"jobs"`    // handles, as they are now
	Changed int         `json:"changed"` // entries from which the name was taken
	Erased  []FileTrace `json:"erased"`  // files that named the customer and are gone
	Left    []FileTrace `json:"left"`    // files that name the customer still
	Unread  []FileTrace `json:"unread"`  // pictures and packed papers, which cannot be searched: for a person to look at
	Look    []string    `json:"look"`    // entries that hold a word of the name: for a person to look at
}

// FileTrace is a file that names a customer.
type FileTrace struct {
	Job  string      `json:"job"`
	File ledger.File `json:"file"`
}

// ForgetOptions say what becomes of files. The zero value erases none.
type ForgetOptions struct {
	Erase bool     // files that hold the name as text
	Also  []string // first digits of the hashes of others, which a person has looked at
	Look  bool     // say what would be, and do nothing
}

// wants says whether a person wants that file erased.
func (o ForgetOptions) wants(f ledger.File) bool {
	return slices.ContainsFunc(o.Also, func(start string) bool { return len(start) >= 6 && strings.HasPrefix(f.SHA256, start) })
}

// errLooked ends a transaction that shall leave nothing.
var errLooked = errors.New("only looked")

// Forget takes a customer's name and reach out of the ledger: from the list of
// customers, from every entry of the drills that are theirs, and, where the options say so, files whose bytes hold
// them. Pictures and packed files cannot be searched. Backups made before still
// know the customer. The hashes of documents in the history stay.
func (l *Ledger) Forget(ctx context.Context, name, by string, o ForgetOptions) (f Forgetting, err error) {
	f = Forgetting{Unread: []FileTrace{}, Jobs: []string{}, Erased: []FileTrace{}, Left: []FileTrace{}, Look: []string{}}
	if err := l.finishForgetting(ctx); err != nil { // what a crash may have left of the last time
		return f, err
	}
	err = l.Write(ctx, func(t *Tx) error {
		c, err := t.CustomerNamed(name)
		if err != nil {
			return err
		}
		if err := t.exec(`UPDATE customer SET name = '', reach = '', forgotten = $1 WHERE id = $2`, ledger.Stamp(l.now()), string(c.ID)); err != nil {
			return err
		}
		if err := t.forget(c, by, o, &f); err != nil || !o.Look {
			return err
		}
		return errLooked
	})
	if o.Look && errors.Is(err, errLooked) {
		return f, nil
	}
	if err != nil {
		return f, err
	}
	return f, l.finishForgetting(ctx)
}

// finishForgetting deletes the files that are erased and makes what was deleted
// unreadable in the database's own files.
func (l *Ledger) finishForgetting(ctx context.Context) error {
	if err := l.sweep(ctx); err != nil {
		return err
	}
	for _, s := range l.d.shrink {
		if _, err := l.db.ExecContext(ctx, s); err != nil {
			return err
		}
	}
	return nil
}

// sweep deletes the files that are erased, where they are there still or again.
func (l *Ledger) sweep(ctx context.Context) error {
	return l.Write(ctx, func(t *Tx) error { // no entry can come to speak of one meanwhile
		gone, err := t.Erased()
		if err != nil {
			return err
		}
		for sum := range gone {
			if err := l.files.Delete(ctx, key(sum)); err != nil && gcerrors.Code(err) != gcerrors.NotFound {
				return noFiles("file "+sum[:12], err)
			}
		}
		return nil
	})
}

func (t *Tx) forget(c ledger.Customer, by string, o ForgetOptions, f *Forgetting) error {
	traces := ledger.TracesOf(c)
	all, err := t.entries(`SELECT body FROM entry ORDER BY job, at, id`)
	if err != nil {
		return err
	}
	seen := map[string]bool{}
	jobs, err := t.JobsOf(c.ID)
	if err != nil {
		return err
	}
	for _, e := range all {
		if !slices.ContainsFunc(jobs, func(j ledger.Job) bool { return j.ID == e.Job }) {
			if traces.In(string(e.Canonical())) { // another's drill: may be another of that name
				f.Look = append(f.Look, string(e.ID))
			}
			continue
		}
		if err := t.forgetIn(e, traces, o, seen, f); err != nil {
			return err
		}
	}
	if jobs, err = t.JobsOf(c.ID); err != nil { // some are called otherwise now
		return err
	}
	for _, j := range jobs {
		f.Jobs = append(f.Jobs, j.Handle)
		if _, err := t.Append(j, Draft{Kind: ledger.Forgotten, By: traces.RedactText(by)}); err != nil {
			return err
		}
		if err := t.reindex(j.ID); err != nil {
			return err
		}
	}
	return nil
}

// forgetIn takes the customer out of one entry.
func (t *Tx) forgetIn(e ledger.Entry, traces ledger.Traces, o ForgetOptions, seen map[string]bool, f *Forgetting) error {
	clean, changed := traces.Redact(e)
	if changed {
		f.Changed++
		if err := t.exec(`UPDATE entry SET body = $1 WHERE id = $2`, string(clean.Canonical()), string(e.ID)); err != nil {
			return err
		}
		if clean.Opening != nil {
			if err := t.renamed(clean); err != nil {
				return err
			}
		}
	}
	if traces.Perhaps(string(clean.Canonical())) {
		f.Look = append(f.Look, string(e.ID))
	}
	for _, file := range clean.Files {
		if seen[file.SHA256] {
			continue
		}
		seen[file.SHA256] = true
		if err := t.forgetFile(clean, file, traces, o, f); err != nil {
			return err
		}
	}
	return nil
}

// renamed writes a job's row by its opening.
func (t *Tx) renamed(e ledger.Entry) error {
	handle, err := t.FreeHandle(e.Opening.Handle, e.Job)
	if err != nil {
		return err
	}
	if err := t.exec(`UPDATE job SET handle = $1, title = $2 WHERE id = $3`, handle, e.Opening.Title, string(e.Job)); err != nil {
		return err
	}
	return t.reindex(e.Job)
}

// most bytes of a file that are searched: documents are far smaller.
const searched = 64 << 20

func (t *Tx) forgetFile(e ledger.Entry, file ledger.File, traces ledger.Traces, o ForgetOptions, f *Forgetting) error {
	j, err := t.job(e.Job)
	if err != nil {
		return err
	}
	tr := FileTrace{Job: j.Handle, File: file}
	named, err := t.names(file, traces)
	var missing *Missing
	switch {
	case errors.As(err, &missing): // erased before
		return nil
	case err != nil:
		return err
	case o.wants(file) || named && o.Erase:
		f.Erased = append(f.Erased, tr)
		return t.erased(file)
	case named:
		f.Left = append(f.Left, tr)
	case hidden(e, file):
		f.Unread = append(f.Unread, tr)
	}
	return nil
}

// names says whether the bytes of a file hold the customer's name as text.
func (t *Tx) names(file ledger.File, traces ledger.Traces) (bool, error) {
	if file.Bytes > searched {
		return false, nil
	}
	b, err := t.l.Bytes(t.ctx, file)
	return traces.In(string(bytes.ToValidUTF8(b, []byte(" ")))), err
}

// hidden says whether a file may show a name that no search finds: anything but
// plain text, among what people write and photograph. Recordings hold counts.
func hidden(e ledger.Entry, f ledger.File) bool {
	if e.Kind == ledger.Log || e.Kind == ledger.Walk {
		return false
	}
	for _, plain := range []string{"text/", "application/json", "application/geo+json", "application/yaml", "image/svg", "application/vnd.google-earth.kml"} {
		if strings.HasPrefix(f.Media, plain) {
			return f.Bytes > searched
		}
	}
	return true
}

// erased notes that a file is gone on purpose.
func (t *Tx) erased(f ledger.File) error {
	return t.exec(`INSERT INTO erased_file (sha256, at) VALUES ($1, $2) ON CONFLICT (sha256) DO NOTHING`, f.SHA256, ledger.Stamp(t.l.now()))
}

// Erased are the hashes of the files that are gone on purpose.
func (t *Tx) Erased() (map[string]bool, error) {
	gone := map[string]bool{}
	err := t.each(func(r *sql.Rows) error {
		var sum string
		err := r.Scan(&sum)
		gone[sum] = true
		return err
	}, `SELECT sha256 FROM erased_file`)
	return gone, err
}
