package yard

import (
	"runproof/drawing"
	"runproof/fit"
	"runproof/parts"
)

// Input is what the sheets are made from. Only the fit is needed.
type Input struct {
	Fit    *fit.Fit
	Parts  parts.Catalogue // for names of parts that the fit does not carry; empty = the built-in catalogue
	Paper  drawing.Paper
	Labels LabelSheet // the zero value is the usual one for the paper
	Skip   int        // labels already used of the first sheet, in reading order
	Job    string     // what the job is called on sheets, labels and codes; empty = from the drill's name
}

// Document is one of the printed papers.
type Document struct {
	Name string // base name of its files: "run-sheet"
	Book *drawing.Book
}

// Sheets makes all papers, in the order in which they are used. The same input
// gives the same pages. The error is an input.Fault: a job text that is too long for
// a code, labels that are too small, or a part-used sheet of labels with none left.
func Sheets(in Input) ([]Document, error) {
	j, err := newJob(in)
	if err != nil {
		return nil, err
	}
	labels, err := j.labelBook()
	if err != nil {
		return nil, err
	}
	return []Document{
		{"pre-assembly", j.preAssembly()},
		{"staging", j.staging()},
		{"run-sheet", j.runSheet()},
		{"labels", labels},
	}, nil
}
