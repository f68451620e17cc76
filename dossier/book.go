package dossier

import (
	"fmt"
	"io"
	"strings"

	"runproof/alarm"
	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
	"runproof/views"
	"runproof/walk"
)

// Input is what a dossier is made from. Only the fit is needed; the parts of
// the book that rest on the others say what is missing and how to make it.
type Input struct {
	Fit   *fit.Fit
	Proof *walk.Proof  // nil = not walked yet
	Rules *alarm.Rules // nil = not tuned yet
	Paper drawing.Paper
	Work  fit.WorkSwitch  // what was found at the machine, in place of the fit's; only Node and Work count
	Parts parts.Catalogue // empty = the built-in catalogue
}

// Write makes the book and writes it as PDF. The same input gives the same bytes.
func Write(w io.Writer, in Input) error { return pdf.Write(w, Book(in)) }

const marginMM = 14.0

// book is a dossier in the making.
type book struct {
	pages
	in    Input
	f     *fit.Fit
	d     *drill.Drill
	nodes []namedNode // from left to right
	runs  map[drill.RunID]drill.Run
	found map[drill.RunID]walk.Run // the proof's word on each run; empty without proof
}

// Book makes the whole dossier.
func Book(in Input) *drawing.Book {
	b := newBook(in)
	contents := b.summary()
	b.cautions()
	b.planPages()
	b.portMap()
	b.proof()
	b.keyIn()
	b.wiring()
	b.airPages()
	b.rules()
	b.alarmPages()
	b.parts()
	b.signOff()
	out := b.Close(fmt.Sprintf("Runproof dossier · %s · revision %d", views.NameOf(b.d), b.f.Revision))
	contents.fill(out)
	return out
}

func newBook(in Input) *book {
	d := &in.Fit.Drill
	b := &book{
		in: in, f: in.Fit, d: d,
		nodes: nameNodes(in.Fit), runs: runsByID(d), found: map[drill.RunID]walk.Run{},
	}
	if in.Proof != nil {
		for _, r := range in.Proof.Runs {
			b.found[r.Run] = r
		}
	}
	info := drawing.Info{Title: "Dossier: " + views.NameOf(d), Subject: "Seed-flow sensing: drill plan, port map, proof and key-in sheet", Author: "Runproof"}
	b.pages = newPages(info, in.Paper, d.Display)
	if in.Work.Node == "" {
		b.in.Work = in.Fit.WorkSwitch
	}
	return b
}

// sensedRuns counts the runs that have a port.
func (b *book) sensedRuns() int { return len(b.f.Map) }

func (b *book) ports() (total, free int) {
	for _, n := range b.f.Nodes {
		total += n.Ports
	}
	return total, total - len(b.f.Map)
}

func (b *book) tubeM() float64 {
	sum := 0.0
	for _, l := range b.f.Map {
		sum += l.TubeM
	}
	return sum
}

// one writes a count with its noun in the right number: "1 node", "4 nodes".
func one(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	ending := "s"
	if strings.HasSuffix(noun, "x") || strings.HasSuffix(noun, "ch") {
		ending = "es"
	}
	return fmt.Sprintf("%d %s%s", n, noun, ending)
}
