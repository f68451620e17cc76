package export

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"runproof/input"
	"runproof/review"
)

// runColumn is one column of runs.csv: what it is called, and where it goes.
type runColumn struct {
	Field
	text   func(*review.RunSummary) *string
	whole  func(*review.RunSummary) *int
	number func(*review.RunSummary) *float64
}

func number(name, short string, digits int, means string, at func(*review.RunSummary) *float64) runColumn {
	return runColumn{Field: Field{name, short, Decimal, digits, means}, number: at}
}

func whole(name, short, means string, at func(*review.RunSummary) *int) runColumn {
	return runColumn{Field: Field{name, short, Whole, 0, means}, whole: at}
}

func word(name, means string, at func(*review.RunSummary) *string) runColumn {
	return runColumn{Field: Field{name, name, Text, 0, means}, text: at}
}

var runColumns = []runColumn{
	word("run", "run, head and outlet", func(r *review.RunSummary) *string { return (*string)(&r.Run) }),
	word("product", "what the run carries", func(r *review.RunSummary) *string { return (*string)(&r.Product) }),
	word("head", "distribution head", func(r *review.RunSummary) *string { return (*string)(&r.Head) }),
	whole("row", "row", "row, 1 = leftmost, facing forward", func(r *review.RunSummary) *int { return &r.Row }),
	word("node", "serial of the sensing node", func(r *review.RunSummary) *string { return &r.Node }),
	whole("port", "port", "port of the node", func(r *review.RunSummary) *int { return &r.Port }),
	number("share", "share", 5, "usual share of the head's counts", func(r *review.RunSummary) *float64 { return &r.Share }),
	number("mean_share", "mean_share", 5, "share over the day in settled work", func(r *review.RunSummary) *float64 { return &r.MeanShare }),
	number("rate_per_s", "rate_hz", 2, "usual counts in a second of work, 1/s", func(r *review.RunSummary) *float64 { return &r.RateHz }),
	number("variance_to_mean", "var_mean", 3, "variance of the counts over their mean", func(r *review.RunSummary) *float64 { return &r.VarianceToMean }),
	number("quiet_per_s", "quiet_hz", 3, "counts in a second while nothing flowed, 1/s", func(r *review.RunSummary) *float64 { return &r.QuietHz }),
	number("settled_work_s", "work_s", 1, "settled work, s", func(r *review.RunSummary) *float64 { return &r.WorkS }),
	number("missing_share", "missing", 6, "part of the samples without a reading", func(r *review.RunSummary) *float64 { return &r.MissingShare }),
	whole("events", "events", "events of this run", func(r *review.RunSummary) *int { return &r.Events }),
	number("lost_metres", "lost_m", 1, "metres of row short of product, m", func(r *review.RunSummary) *float64 { return &r.LostMetres }),
	number("lost_area_m2", "lost_m2", 1, "area short of product, m2", func(r *review.RunSummary) *float64 { return &r.LostAreaM2 }),
}

// Runs is the layer of watched runs.
func (d *Day) Runs() Layer {
	l := Layer{Name: "runs", Title: "Watched runs"}
	for _, c := range runColumns {
		l.Fields = append(l.Fields, c.Field)
	}
	for i := range d.Watched {
		r := &d.Watched[i]
		f := Feature{Cells: make([]any, len(runColumns))}
		for k, c := range runColumns {
			switch {
			case c.text != nil:
				f.Cells[k] = text(*c.text(r))
			case c.whole != nil:
				f.Cells[k] = int64(*c.whole(r))
			default:
				f.Cells[k] = *c.number(r)
			}
		}
		l.Features = append(l.Features, f)
	}
	return l
}

// readRuns reads runs.csv; columns may stand in any order, and ones that are not
// known are left out.
func (d *Day) readRuns(src io.Reader, file string) error {
	r := csv.NewReader(src)
	r.ReuseRecord = true
	head, err := r.Read()
	if err != nil {
		return tableFault(file, err, "it has no head")
	}
	at := make([]int, len(runColumns))
	for k, c := range runColumns {
		if at[k] = slices.Index(head, c.Name); at[k] < 0 {
			return input.Fault{Place: input.Place{File: file, Line: 1}, What: "has no column " + c.Name, Remedy: "take the file as runproof review wrote it"}
		}
	}
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return tableFault(file, err, "")
		}
		var run review.RunSummary
		for k, c := range runColumns {
			if err := c.set(&run, record[at[k]]); err != nil {
				line, col := r.FieldPos(at[k])
				return input.Fault{Place: input.Place{File: file, Line: line, Col: col}, What: fmt.Sprintf("%s %.60q is no number", c.Name, record[at[k]]), Remedy: "take the file as runproof review wrote it"}
			}
		}
		d.Watched = append(d.Watched, run)
	}
}

func (c runColumn) set(r *review.RunSummary, cell string) (err error) {
	switch {
	case c.text != nil:
		*c.text(r) = strings.Clone(cell)
	case c.whole != nil:
		*c.whole(r), err = strconv.Atoi(cell)
	default:
		*c.number(r), err = finite(cell)
	}
	return err
}

func finite(s string) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err == nil && (v-v != 0) {
		err = strconv.ErrRange
	}
	return v, err
}

func tableFault(file string, err error, otherwise string) error {
	what, at := "is no table: "+err.Error(), input.Place{File: file}
	var parse *csv.ParseError
	switch {
	case errors.As(err, &parse):
		at.Line, at.Col, what = parse.Line, parse.Column, parse.Err.Error()
	case errors.Is(err, io.EOF) && otherwise != "":
		what = otherwise
	}
	return input.Fault{Place: at, What: what, Remedy: "take the file as runproof review wrote it"}
}
