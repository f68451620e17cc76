package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"runproof/alarm"
	"runproof/dossier"
	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/fit"
	"runproof/input"
	"runproof/views"
	"runproof/walk"
)

type dossierCmd struct {
	Fit   string        `arg:"" help:"Fit document."`
	Proof string        `placeholder:"FILE" help:"Proof of the walk, from runproof prove."`
	Rules string        `placeholder:"FILE" help:"Rules of the alarms, from runproof tune."`
	Parts string        `placeholder:"FILE" help:"Catalogue of parts (parts.yaml) on top of the built-in one."`
	Work  string        `name:"work-switch" placeholder:"NODE:WAY" help:"What was found at the machine: the node that carries the work-state switch, and whether in the ground its contact is closed or open, or its angle below or above the threshold: 4101:closed. Without it, as planned."`
	Paper drawing.Paper `default:"a4" help:"a4 or letter."`
	Plan  string        `placeholder:"FILE" help:"Write the plan of the drill as a picture (SVG) too."`
	Out   string        `short:"o" required:"" placeholder:"FILE" help:"Book to write (PDF)."`
}

func (*dossierCmd) Help() string {
	return "Prints the hand-over book: drill to scale, port map by node, proof, key-in sheet, parts, cautions, sign-off.\n\n" +
		"Example: runproof dossier fit.json --proof proof.json --rules rules.json --paper letter -o dossier.pdf"
}

func (c *dossierCmd) Run(s *Shell) error {
	in, err := c.input(s)
	if err != nil {
		return err
	}
	book := dossier.Book(in)
	if err := s.WriteFile(c.Out, func(w io.Writer) error { return pdf.Write(w, book) }); err != nil {
		return err
	}
	if c.Plan != "" {
		if err := s.WriteFile(c.Plan, func(w io.Writer) error { return views.WriteTop(w, in.Fit, views.Options{}) }); err != nil {
			return err
		}
	}
	if c.Out != "-" {
		s.Summary("dossier, revision %d: %s on %s in %s", in.Fit.Revision, plural(len(book.Sheets), "page"), c.Paper, c.Out)
	}
	return s.EmitJSON(chaptersOf(book))
}

// chapter is a part of a printed book and the page where it begins.
type chapter struct {
	Title string `json:"title"`
	Page  int    `json:"page"`
}

func chaptersOf(b *drawing.Book) []chapter {
	chapters := []chapter{}
	for i, s := range b.Sheets {
		for _, m := range s.Bookmarks {
			if m.Level == 0 {
				chapters = append(chapters, chapter{m.Title, i + 1})
			}
		}
	}
	return chapters
}

// input reads every document that the book is made from.
func (c *dossierCmd) input(s *Shell) (in dossier.Input, err error) {
	in.Paper = c.Paper
	if in.Fit, _, err = s.ReadFit(c.Fit); err != nil {
		return in, err
	}
	if in.Proof, err = readDocument(s, c.Proof, walk.Read); err != nil {
		return in, err
	}
	if in.Rules, err = readDocument(s, c.Rules, alarm.Read); err != nil {
		return in, err
	}
	if in.Parts, _, err = s.readCatalogue(c.Parts); err != nil {
		return in, err
	}
	in.Work, err = workSwitch(c.Work, in.Fit)
	return in, err
}

// workSwitch reads NODE:closed, NODE:open, NODE:below or NODE:above; the node must be one of the fit.
func workSwitch(text string, f *fit.Fit) (fit.WorkSwitch, error) {
	if text == "" {
		return fit.WorkSwitch{}, nil
	}
	i := strings.LastIndex(text, ":")
	node, way := text[:max(0, i)], text[i+1:]
	ways := map[string]fit.WorkWay{"closed": fit.WorkClosed, "open": fit.WorkOpen, "below": fit.WorkBelow, "above": fit.WorkAbove}
	work, ok := ways[way]
	if !ok || i < 0 {
		return fit.WorkSwitch{}, input.Fault{What: fmt.Sprintf("--work-switch %q does not say which way round the switch is", text), Remedy: "write the node and closed, open, below or above, such as 4101:closed"}
	}
	serials := make([]string, len(f.Nodes))
	for k, n := range f.Nodes {
		serials[k] = n.Serial
	}
	if !slices.Contains(serials, node) {
		return fit.WorkSwitch{}, input.Fault{What: fmt.Sprintf("--work-switch names node %q, which the fit has not", node), Remedy: input.DidYouMean(node, serials)}
	}
	kind := fit.ContactSwitch
	if work == fit.WorkBelow || work == fit.WorkAbove {
		kind = fit.TiltSwitch
	}
	return fit.WorkSwitch{Kind: kind, Node: node, Work: work}, nil
}
