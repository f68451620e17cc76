package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drawing/svg"
	"runproof/yard"
)

type sheetsCmd struct {
	Fit    string        `arg:"" help:"Fit document."`
	Parts  string        `placeholder:"FILE" help:"Catalogue of parts (parts.yaml) on top of the built-in one, for names of parts."`
	Paper  drawing.Paper `default:"a4" help:"a4 or letter."`
	Labels string        `placeholder:"SIZE" help:"Size of the labels: 70x37, 63.5x38.1, 99.1x67.7, 105x57, 2.625x1in, 4x2in, 62x29, WxH for a roll, or WxH,COLSxROWS,LEFT,TOP,GAPX,GAPY for a sheet, in mm. Absent: 63.5x38.1 on a4, 4x2in on letter."`
	Skip   int           `placeholder:"N" help:"Leave the first N labels free, on a sheet that was used before."`
	Job    string        `placeholder:"TEXT" help:"What the job is called on sheets, labels and codes. Absent: from the drill's name."`
	Out    string        `short:"o" required:"" placeholder:"DIR" help:"Folder to write to."`
}

func (*sheetsCmd) Help() string {
	return "Prints the papers that a technician fits the drill from: pre-assembly sheet, staging sheet, run sheet and labels, " +
		"each as one PDF and as one SVG a page.\n\n" +
		"Example: runproof sheets fit.json --paper letter --labels 4x2in --job \"North Quarter\" -o sheets"
}

func (c *sheetsCmd) Run(s *Shell) error {
	in := yard.Input{Paper: c.Paper, Skip: c.Skip, Job: c.Job}
	var err error
	if in.Fit, _, err = s.ReadFit(c.Fit); err != nil {
		return err
	}
	if in.Parts, _, err = s.readCatalogue(c.Parts); err != nil {
		return err
	}
	if in.Labels, err = yard.ParseLabels(c.Labels, c.Paper); err != nil {
		return err
	}
	docs, err := yard.Sheets(in)
	if err != nil {
		return err
	}
	if err := s.makeDir(c.Out); err != nil {
		return err
	}
	papers, err := s.writePapers(c.Out, docs)
	if err != nil {
		return err
	}
	return s.EmitJSON(papers)
}

// paper is one of the written documents and its files.
type paper struct {
	Name  string   `json:"name"`
	Pages int      `json:"pages"`
	PDF   string   `json:"pdf"`
	SVG   []string `json:"svg"` // one a page
}

// writePapers writes each document as one PDF and its pages as pictures.
func (s *Shell) writePapers(dir string, docs []yard.Document) ([]paper, error) {
	papers := make([]paper, 0, len(docs))
	for _, d := range docs {
		p := paper{Name: d.Name, Pages: len(d.Book.Sheets), PDF: filepath.Join(dir, d.Name+".pdf")}
		if err := s.WriteFile(p.PDF, func(w io.Writer) error { return pdf.Write(w, d.Book) }); err != nil {
			return nil, err
		}
		for i, page := range d.Book.Sheets {
			name := pageFile(dir, d.Name, i+1)
			opt := svg.Options{Font: svg.Embedded, NoGround: true}
			if err := s.WriteFile(name, func(w io.Writer) error { return svg.Write(w, page, opt) }); err != nil {
				return nil, err
			}
			p.SVG = append(p.SVG, name)
		}
		s.Summary("%s: %s in %s", d.Name, plural(p.Pages, "page"), p.PDF)
		s.warnOfOldPages(dir, p)
		papers = append(papers, p)
	}
	return papers, nil
}

func pageFile(dir, name string, page int) string {
	return filepath.Join(dir, fmt.Sprintf("%s-%d.svg", name, page))
}

// warnOfOldPages says where an earlier, longer set of pages lies about, so
// that nobody works from it.
func (s *Shell) warnOfOldPages(dir string, p paper) {
	if old := pageFile(dir, p.Name, p.Pages+1); stands(old) {
		s.Warn("%s and what follows it are from an earlier set of sheets: delete them", old)
	}
}

func stands(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}
