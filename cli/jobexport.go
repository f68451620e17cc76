package cli

import (
	"bytes"
	"context"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"

	"runproof/alarm"
	"runproof/dossier"
	"runproof/drawing"
	"runproof/fit"
	"runproof/flowlog/formats"
	"runproof/input"
	"runproof/ledger"
	"runproof/ledger/parcel"
	"runproof/store"
	"runproof/walk"
)

type jobExportCmd struct {
	Job      string        `arg:"" help:"The job."`
	Customer bool          `help:"Tell whose drill it is; without, name and telephone number stay here."`
	Paper    drawing.Paper `default:"a4" help:"Paper of the hand-over book: a4 or letter."`
	Out      string        `short:"o" required:"" placeholder:"FILE" help:"Zip to write."`

	ledgerFlags
}

func (*jobExportCmd) Help() string {
	return "Packs a job into one zip that anybody can read without this program: index.html to begin with, drill.yaml, fit.json, every file of the history as it came in, " +
		"recordings as Parquet too, papers as PDF. Another ledger takes it in with job import. The same job gives the same bytes.\n\n" +
		"Example: runproof job export north-farm -o north-farm.zip"
}

// packedDoc is the result document.
type packedDoc struct {
	Runproof string     `json:"runproof"` // packed/1
	Job      ledger.Job `json:"job"`
	Out      string     `json:"out"`
	Entries  int        `json:"entries"`
	Files    int        `json:"files"`
	Left     []string   `json:"left"` // what could not be made for the reader
}

func (c *jobExportCmd) Run(s *Shell) error {
	if c.Out == "-" && s.JSON {
		return input.Fault{What: "-o - and --json both want standard output", Remedy: "name a file"}
	}
	doc := packedDoc{Runproof: "packed/1", Out: c.Out, Left: []string{}}
	l, err := c.open(s)
	if err != nil {
		return err
	}
	defer l.Close()
	p := packing{s: s, l: l, paper: c.Paper, doc: &doc}
	if err := l.Read(context.Background(), func(tx *store.Tx) error { return p.read(tx, c.Job, c.Customer) }); err != nil {
		return err
	}
	if err := p.besides(); err != nil {
		return err
	}
	if err := s.WriteFile(c.Out, func(w io.Writer) error { return parcel.Write(w, p.job) }); err != nil {
		return err
	}
	for _, left := range doc.Left {
		s.Warn("%s", left)
		s.Attention()
	}
	if c.Out != "-" {
		s.Summary("job %s: %s, %s in %s", doc.Job.Handle, entries(doc.Entries), plural(doc.Files, "file"), c.Out)
	}
	return s.EmitJSON(doc)
}

// packing is a job being packed.
type packing struct {
	s     *Shell
	l     *store.Ledger
	paper drawing.Paper
	doc   *packedDoc
	job   parcel.Job
	gone  map[string]bool // files that were erased
}

func (p *packing) read(tx *store.Tx, name string, customer bool) (err error) {
	if p.job.Job, err = tx.Job(name); err != nil {
		return err
	}
	if p.job.Entries, err = tx.History(p.job.ID); err != nil {
		return err
	}
	if customer && p.job.Job.Customer != "" {
		who, err := tx.Customer(p.job.Job.Customer)
		if err != nil {
			return err
		}
		p.job.Customer = &who
	}
	p.gone, err = tx.Erased()
	p.job.Open = func(f ledger.File) (io.ReadCloser, error) {
		if p.gone[f.SHA256] {
			return nil, io.EOF
		}
		return p.l.File(context.Background(), f)
	}
	p.doc.Job, p.doc.Entries = p.job.Job, len(p.job.Entries)
	for _, e := range p.job.Entries {
		p.doc.Files += len(e.Files)
	}
	return err
}

func (p *packing) add(path, says string, fn func(io.Writer) error) {
	p.job.Beside = append(p.job.Beside, parcel.Beside{Path: path, Says: says, Write: fn})
}

// besides are what is made for a reader from what the entries hold.
func (p *packing) besides() error {
	if err := p.papers(); err != nil {
		return err
	}
	for _, e := range p.job.Entries {
		if e.Kind != ledger.Log && e.Kind != ledger.Walk {
			continue
		}
		if err := p.recording(e); err != nil {
			return err
		}
	}
	return nil
}

// papers are the drill, the fit and the book.
func (p *packing) papers() error {
	if b, err := p.last(ledger.Survey); err != nil {
		return err
	} else if b != nil {
		p.add("drill.yaml", "the drill as last described", writes(b))
	}
	b, err := p.last(ledger.Fit)
	if b == nil || err != nil {
		return err
	}
	f, err := fit.Read(bytes.NewReader(b), "fit.json")
	if err != nil {
		return err
	}
	if len(p.job.Beside) == 0 {
		p.add("drill.yaml", "the drill as the fit has it", f.Drill.Write)
	}
	p.add("fit.json", "the fit that stands: which run is heard at which port", writes(b))
	p.add("map.csv", "the same as a table", f.WriteMap)
	in := dossier.Input{Fit: f, Paper: p.paper}
	if in.Proof, err = lastOf(p, ledger.Proof, walk.Read); err != nil {
		return err
	}
	if in.Rules, err = lastOf(p, ledger.Rules, alarm.Read); err != nil {
		return err
	}
	p.add("dossier.pdf", "the hand-over book", func(w io.Writer) error { return dossier.Write(w, in) })
	return nil
}

func writes(b []byte) func(io.Writer) error {
	return func(w io.Writer) error { _, err := w.Write(b); return err }
}

// last are the bytes of the first file of the last entry of that kind; nil where
// there is none, or it was erased.
func (p *packing) last(kind ledger.Kind) ([]byte, error) {
	es := p.job.Entries
	if kind == ledger.Fit {
		es = ledger.Tips(es)
	}
	for i := len(es) - 1; i >= 0; i-- {
		if es[i].Kind == kind && len(es[i].Files) > 0 && !p.gone[es[i].Files[0].SHA256] {
			return p.l.Bytes(context.Background(), es[i].Files[0])
		}
	}
	return nil, nil
}

func lastOf[T any](p *packing, kind ledger.Kind, read func(io.Reader, string) (*T, error)) (*T, error) {
	b, err := p.last(kind)
	if b == nil || err != nil {
		return nil, err
	}
	return read(bytes.NewReader(b), kind.String()+".json")
}

// recording makes a Parquet of a recording that is not one and has none beside it.
func (p *packing) recording(e ledger.Entry) error {
	for _, f := range e.Files {
		if strings.HasSuffix(f.Name, ".parquet") {
			return nil
		}
		if p.gone[f.SHA256] {
			return nil
		}
	}
	dir, err := os.MkdirTemp("", "runproof-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	for _, f := range e.Files {
		if err := p.unpack(dir, f); err != nil {
			return err
		}
	}
	name := filepath.Join(dir, filepath.FromSlash(e.Files[0].Name))
	if top, _, ok := strings.Cut(e.Files[0].Name, "/"); ok {
		name = filepath.Join(dir, top)
	}
	var b bytes.Buffer
	if err := writeParquet(p.s, name, &b, nil); err != nil {
		p.doc.Left = append(p.doc.Left, "no Parquet of "+e.Files[0].Name+": "+strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), ""))
		return nil
	}
	base := strings.TrimSuffix(strings.TrimSuffix(path.Base(name), ".gz"), ".zst")
	base = strings.TrimSuffix(base, path.Ext(base)) + ".parquet"
	p.add("flow/"+parcel.Folder(e)+"/"+base, "recording of "+dayOf(e.At)+" as Parquet", writes(b.Bytes()))
	return nil
}

func (p *packing) unpack(dir string, f ledger.File) error {
	r, err := p.l.File(context.Background(), f)
	if err != nil {
		return err
	}
	defer r.Close()
	to := filepath.Join(dir, filepath.FromSlash(f.Name))
	if err := p.s.makeDir(filepath.Dir(to)); err != nil {
		return err
	}
	return p.s.WriteFile(to, func(w io.Writer) error { _, err := io.Copy(w, r); return err })
}

// writeParquet writes a recording in any form as a flow log in Parquet.
func writeParquet(s *Shell, name string, w io.Writer, opts []formats.Option) error {
	r, _, done, err := s.OpenLog(name, opts...)
	if err != nil {
		return err
	}
	defer done()
	return copyLog("log.parquet", w, r)
}

// keepParquet keeps a recording as Parquet.
func keepParquet(s *Shell, l *store.Ledger, name, as string, opts []formats.Option) (ledger.File, error) {
	r, w := io.Pipe()
	go func() { w.CloseWithError(writeParquet(s, name, w, opts)) }()
	defer r.Close()
	return l.Keep(context.Background(), as, r)
}
