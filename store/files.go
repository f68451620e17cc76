package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"gocloud.dev/blob"
	"gocloud.dev/blob/fileblob"
	_ "gocloud.dev/blob/memblob" // mem://
	_ "gocloud.dev/blob/s3blob"  // s3://
	"gocloud.dev/gcerrors"

	"runproof/input"
	"runproof/ledger"
)

// openFiles opens the place where files are kept, and says its folder if it is one.
func openFiles(ctx context.Context, c Config) (b *blob.Bucket, folder string, err error) {
	folder = c.Files
	if folder == "" {
		folder = c.DB + ".files"
	}
	if u, err := url.Parse(folder); err == nil && len(u.Scheme) > 1 && u.Scheme != "file" {
		b, err := blob.OpenBucket(ctx, folder)
		return b, "", noFiles(u.Scheme+"://"+u.Host, err)
	} else if err == nil && u.Scheme == "file" {
		folder = filepath.FromSlash(u.Path)
	}
	// temporary files beside the others, so that renaming never leaves the disk
	b, err = fileblob.OpenBucket(folder, &fileblob.Options{CreateDir: true, NoTempDir: true, Metadata: fileblob.MetadataDontWrite})
	return b, folder, noFiles(folder, err)
}

func noFiles(where string, err error) error {
	if err == nil {
		return nil
	}
	return input.Fault{What: "the place for files, " + where + ", cannot be opened: " + err.Error(), Remedy: "check its name, and that you may write there"}
}

// key is where a file stands: in one of 256 folders by the start of its hash.
func key(sum string) string { return sum[:2] + "/" + sum }

// Keep keeps the bytes of r and returns the file as an entry speaks of it. The
// same bytes are kept once. They are on the disk when Keep returns.
func (l *Ledger) Keep(ctx context.Context, name string, r io.Reader) (ledger.File, error) {
	again, ok := r.(io.ReadSeeker) // its hash must be known before the first byte is put
	if !ok {
		spool, err := os.CreateTemp("", "runproof-*.part")
		if err != nil {
			return ledger.File{}, err
		}
		defer os.Remove(spool.Name())
		defer spool.Close()
		r = io.TeeReader(r, spool)
		again = spool
	}
	h := sha256.New()
	n, err := io.Copy(h, r)
	if err != nil {
		return ledger.File{}, err
	}
	f := ledger.File{Name: ledger.FileName(name), SHA256: hex.EncodeToString(h.Sum(nil)), Bytes: n, Media: ledger.MediaOf(name)}
	there, err := l.files.Exists(ctx, key(f.SHA256))
	if err != nil || there {
		return f, err
	}
	if _, err := again.Seek(0, io.SeekStart); err != nil {
		return f, err
	}
	return f, l.put(ctx, f, again)
}

// put writes bytes under their hash: whole, or not at all.
func (l *Ledger) put(ctx context.Context, f ledger.File, r io.Reader) error {
	ctx, cancel := context.WithCancel(ctx) // a writer whose context has ended writes nothing
	defer cancel()
	w, err := l.files.NewWriter(ctx, key(f.SHA256), &blob.WriterOptions{ContentType: f.Media, DisableContentTypeDetection: true})
	if err != nil {
		return noFiles("file "+f.Name, err)
	}
	h := sha256.New()
	_, err = io.Copy(io.MultiWriter(w, h), r)
	if err == nil && hex.EncodeToString(h.Sum(nil)) != f.SHA256 {
		err = input.Fault{What: "file " + f.Name + " was changed while it was read", Remedy: "add it again once nothing writes to it"}
	}
	if err != nil {
		cancel()
		w.Close()
		return err
	}
	if err := w.Close(); err != nil {
		return noFiles("file "+f.Name, err)
	}
	return l.sync(f.SHA256)
}

// sync has the operating system write a file and its folder to the disk; the
// blob library renames without.
func (l *Ledger) sync(sum string) error {
	if l.folder == "" {
		return nil
	}
	name := filepath.Join(l.folder, filepath.FromSlash(key(sum)))
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	err = errors.Join(f.Sync(), f.Close())
	for dir := filepath.Dir(name); err == nil && len(dir) >= len(filepath.Clean(l.folder)); dir = filepath.Dir(dir) {
		syncFolder(dir)
	}
	return err
}

// syncFolder writes a folder's list of names to the disk where the system can.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		d.Sync() // systems that cannot say so, and keep order by themselves
		d.Close()
	}
}

// abandoned is after how long an unfinished file is taken for that of a process
// that was killed.
const abandoned = 24 * time.Hour

// tidy takes what killed processes left unfinished out of the folder of files.
func (l *Ledger) tidy() error {
	if l.folder == "" {
		return nil
	}
	return filepath.WalkDir(l.folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() || len(d.Name()) <= 64 || d.Name()[:2] != filepath.Base(filepath.Dir(name)) {
			return err // a whole file's name is its hash; an unfinished one's goes on behind it
		}
		if info, err := d.Info(); err == nil && l.now().Sub(info.ModTime()) > abandoned {
			os.Remove(name)
		}
		return nil
	})
}

// File opens a file's bytes. Reading to the end fails where they are not what the
// hash says.
func (l *Ledger) File(ctx context.Context, f ledger.File) (io.ReadCloser, error) {
	if err := (ledger.Entry{Files: []ledger.File{f}}).CheckFiles(); err != nil {
		return nil, err
	}
	r, err := l.files.NewReader(ctx, key(f.SHA256), nil)
	if gcerrors.Code(err) == gcerrors.NotFound {
		return nil, &Missing{File: f}
	}
	if err != nil {
		return nil, noFiles("file "+f.Name, err)
	}
	return &verified{r: r, h: sha256.New(), f: f}, nil
}

// Missing is a file that an entry speaks of and that is not there.
type Missing struct {
	File ledger.File
}

// Error says which.
func (m *Missing) Error() string {
	return fmt.Sprintf("file %s (%s) is not where the ledger keeps its files; check --files, or take it from a backup", m.File.Name, m.File.SHA256[:12])
}

// verified reads a blob and checks its hash at the end.
type verified struct {
	r *blob.Reader
	h hash.Hash
	f ledger.File
}

func (v *verified) Read(p []byte) (int, error) {
	n, err := v.r.Read(p)
	v.h.Write(p[:n])
	if errors.Is(err, io.EOF) && hex.EncodeToString(v.h.Sum(nil)) != v.f.SHA256 {
		return n, input.Fault{What: fmt.Sprintf("file %s is damaged: its bytes are not those of hash %s", v.f.Name, v.f.SHA256[:12]), Remedy: "take it from a backup"}
	}
	return n, err
}

func (v *verified) Close() error { return v.r.Close() }

// Bytes are all the bytes of a file.
func (l *Ledger) Bytes(ctx context.Context, f ledger.File) ([]byte, error) {
	r, err := l.File(ctx, f)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}
