package store

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"runproof/input"
	"runproof/input/jsondoc"
	"runproof/ledger"
)

const (
	backupVersion = "backup/1"
	headName      = "backup.json"
	rowsName      = "rows.jsonl"
	filesFolder   = "files/"
)

// noTime is the first time that a zip can tell: a backup carries none, so that the
// same ledger gives the same bytes.
var noTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// BackupHead says what a backup holds.
type BackupHead struct {
	Runproof string `json:"runproof"` // backup/1
	Form     int    `json:"form"`     // of the ledger
	Jobs     int    `json:"jobs"`
	Entries  int    `json:"entries"`
	Files    int    `json:"files"`
	SHA256   string `json:"sha256"` // of the rows
}

// Backup writes the whole ledger as it is at one moment: a zip of its rows as
// text and of all files. The same ledger gives the same bytes, whatever the
// database. Others may write meanwhile.
func (l *Ledger) Backup(ctx context.Context, w io.Writer) (h BackupHead, err error) {
	if err := l.tidy(); err != nil {
		return h, err
	}
	z := zip.NewWriter(w)
	var files []ledger.File
	err = l.Read(ctx, func(t *Tx) error {
		if h, err = t.head(); err != nil {
			return err
		}
		if files, err = t.files(); err != nil {
			return err
		}
		h.Files = len(files)
		rows, err := z.CreateHeader(&zip.FileHeader{Name: rowsName, Method: zip.Deflate, Modified: noTime})
		if err != nil {
			return err
		}
		sum := sha256.New()
		err = t.Dump(io.MultiWriter(rows, sum))
		h.SHA256 = hex.EncodeToString(sum.Sum(nil))
		return err
	})
	if err != nil {
		return h, err
	}
	for _, f := range files {
		if err := l.pack(ctx, z, f); err != nil {
			return h, err
		}
	}
	head, err := z.CreateHeader(&zip.FileHeader{Name: headName, Method: zip.Deflate, Modified: noTime})
	if err == nil {
		err = jsondoc.Write(head, h)
	}
	return h, errors.Join(err, z.Close())
}

func (t *Tx) head() (h BackupHead, err error) {
	h.Runproof = backupVersion
	if h.Form, err = t.l.form(t.ctx, t.tx); err == nil {
		err = t.row(`SELECT (SELECT COUNT(*) FROM job), (SELECT COUNT(*) FROM entry)`).Scan(&h.Jobs, &h.Entries)
	}
	return h, err
}

// files are the files that entries speak of, each once, without those erased.
func (t *Tx) files() (out []ledger.File, err error) {
	err = t.each(func(r *sql.Rows) error {
		f := ledger.File{Name: "file", Media: "application/octet-stream"}
		err := r.Scan(&f.SHA256)
		out = append(out, f)
		return err
	}, `SELECT DISTINCT sha256 FROM entry_file WHERE sha256 NOT IN (SELECT sha256 FROM erased_file) ORDER BY sha256`)
	return out, err
}

func (l *Ledger) pack(ctx context.Context, z *zip.Writer, f ledger.File) error {
	r, err := l.File(ctx, f)
	if err != nil {
		return err
	}
	defer r.Close()
	w, err := z.CreateHeader(&zip.FileHeader{Name: filesFolder + f.SHA256, Method: zip.Store, Modified: noTime}) // recordings and pictures are packed already
	if err == nil {
		_, err = io.Copy(w, r)
	}
	return err
}

// Restore makes a ledger from a backup of this or an earlier form. There must be
// none at that place yet. It comes to be whole or not at all.
func Restore(ctx context.Context, c Config, backup io.ReaderAt, size int64) (h BackupHead, err error) {
	z, err := zip.NewReader(backup, size)
	if err != nil {
		return h, input.Fault{What: "not a backup of a ledger: " + err.Error(), Remedy: "name a file that runproof backup wrote"}
	}
	if h, err = readHead(z); err != nil {
		return h, err
	}
	l, made, err := empty(ctx, c)
	if err != nil {
		return h, err
	}
	defer func() {
		l.Close()
		if err != nil && made {
			os.Remove(c.DB)
		}
	}()
	if err := l.unpack(ctx, z); err != nil {
		return h, err
	}
	return h, l.Write(ctx, func(t *Tx) error { return t.restore(z, h) })
}

// empty opens a place where a ledger can be made; made says that a file was.
func empty(ctx context.Context, c Config) (l *Ledger, made bool, err error) {
	c.Create = true
	if err := c.check(); err != nil {
		return nil, false, err
	}
	_, err = os.Stat(c.DB)
	made = !IsPostgres(c.DB) && errors.Is(err, os.ErrNotExist)
	d, db, err := connect(c.DB, defaultBusy)
	if err != nil {
		return nil, false, unreachable(c.DB, err)
	}
	l = &Ledger{db: db, d: d, now: c.Now, chance: c.Chance}
	at, err := l.form(ctx, db)
	switch {
	case err != nil:
		err = unreachable(c.DB, err)
	case at > 0:
		err = input.Fault{What: "there is a ledger already, and a backup does not go over it", Remedy: "restore to another --db"}
	default:
		l.files, l.folder, err = openFiles(ctx, c)
	}
	if err != nil {
		l.Close()
		return nil, false, err
	}
	return l, made, nil
}

func readHead(z *zip.Reader) (h BackupHead, err error) {
	f, err := z.Open(headName)
	if err != nil {
		return h, input.Fault{What: "the zip is no backup of a ledger: " + headName + " is missing", Remedy: "name a file that runproof backup wrote"}
	}
	defer f.Close()
	if err := json.NewDecoder(io.LimitReader(f, 1<<16)).Decode(&h); err != nil || h.Runproof != backupVersion {
		return h, input.Fault{Place: input.Place{File: headName}, What: fmt.Sprintf("document is %q, not %q", h.Runproof, backupVersion), Remedy: "name a file that runproof backup wrote"}
	}
	if h.Form < 1 || h.Form > form {
		return h, input.Fault{What: fmt.Sprintf("the backup is of form %d, and this program knows 1 to %d", h.Form, form), Remedy: "use a newer runproof"}
	}
	return h, nil
}

// unpack keeps every file of a backup; each must be what its name says.
func (l *Ledger) unpack(ctx context.Context, z *zip.Reader) error {
	for _, f := range z.File {
		if len(f.Name) != len(filesFolder)+64 || f.Name[:len(filesFolder)] != filesFolder {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return damaged(0, err)
		}
		got, err := l.Keep(ctx, "file", r)
		r.Close()
		if err != nil {
			return err
		}
		if got.SHA256 != f.Name[len(filesFolder):] {
			return input.Fault{Place: input.Place{File: f.Name}, What: "the file is damaged: its bytes have another hash", Remedy: "take another backup"}
		}
	}
	return nil
}

// restore makes the tables in the backup's form, fills them, and brings them to
// this program's.
func (t *Tx) restore(z *zip.Reader, h BackupHead) error {
	if at, err := t.l.form(t.ctx, t.tx); err != nil || at > 0 {
		return errors.Join(err, errors.New("another has made a ledger here meanwhile"))
	}
	if err := t.l.migrateTo(t.ctx, t.tx, h.Form); err != nil {
		return err
	}
	rows, err := z.Open(rowsName)
	if err != nil {
		return damaged(0, err)
	}
	defer rows.Close()
	sum := sha256.New()
	if err := t.load(io.TeeReader(rows, sum)); err != nil {
		return err
	}
	if hex.EncodeToString(sum.Sum(nil)) != h.SHA256 {
		return input.Fault{Place: input.Place{File: rowsName}, What: "the rows are damaged: they have another hash", Remedy: "take another backup"}
	}
	files, err := t.files()
	for _, f := range files {
		there, err := t.l.files.Exists(t.ctx, key(f.SHA256))
		if err != nil || !there {
			return errors.Join(err, &Missing{File: f})
		}
	}
	if err != nil {
		return err
	}
	return t.l.migrateTo(t.ctx, t.tx, form)
}
