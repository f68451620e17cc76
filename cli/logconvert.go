package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/flowlog/mapping"
	"runproof/input"
)

type logConvertCmd struct {
	In      string `arg:"" help:"Log to read, - for standard input."`
	Out     string `short:"o" required:"" placeholder:"FILE" help:"Log to write; the end of its name says the format."`
	Map     string `placeholder:"FILE" help:"What the recording means: columns, units, time, counts that run on (see log map)."`
	Salvage bool   `help:"When the log is damaged or wrong from some place on, write what stands before."`
}

func (*logConvertCmd) Help() string {
	return "Reads a log in any format and writes it in the one that the name's end asks for: .csv, .csv.gz, .csv.zst or .parquet " +
		"(- is CSV on standard output). Every column is kept, and a cell that was not reported stays so.\n\n" +
		"Example: runproof log convert day.csv.gz -o day.parquet"
}

// converted is the result document of log convert.
type converted struct {
	Runproof string `json:"runproof"` // converted/1
	Out      string `json:"out"`
	Samples  int    `json:"samples"`
	Columns  int    `json:"columns"`          // besides time
	Damage   string `json:"damage,omitempty"` // what ended the reading too early, when salvaged

	Remarks []remark `json:"remarks"` // what was met on the way
}

// meaning are the options that say what a recording means.
func (s *Shell) meaning(mapFile string) ([]formats.Option, error) {
	if mapFile == "" {
		return nil, nil
	}
	text, _, err := s.ReadInput(mapFile)
	if err != nil {
		return nil, err
	}
	m, err := mapping.Read(bytes.NewReader(text), mapFile)
	if err != nil {
		return nil, err
	}
	return []formats.Option{formats.With(m)}, nil
}

// remark is something that the reader met and went on from.
type remark struct {
	Lost bool   `json:"lost"` // something recorded did not come through
	What string `json:"what"`
}

// remarksOf tells the person what the reader met, and gives it for the
// document.
func (s *Shell) remarksOf(r flowlog.Reader) []remark {
	rs := []remark{}
	for _, m := range flowlog.RemarksOf(r) {
		rs = append(rs, remark(m))
		if m.Lost {
			s.Warn("%s", m.What)
			s.Attention()
		} else {
			s.Summary("%s", m.What)
		}
	}
	return rs
}

func (c *logConvertCmd) Run(s *Shell) error {
	if c.Out == "-" && s.JSON {
		return input.Fault{What: "-o - and --json both want standard output", Remedy: "name a file"}
	}
	opts, err := s.meaning(c.Map)
	if err != nil {
		return err
	}
	r, _, closeLog, err := s.OpenLog(c.In, opts...)
	if err != nil {
		return err
	}
	defer closeLog()
	doc := converted{Runproof: "converted/1", Out: c.Out, Columns: len(r.Schema().Columns)}
	if err := s.WriteFile(c.Out, func(w io.Writer) error { return c.copy(&doc, r, w) }); err != nil {
		return err
	}
	if doc.Damage != "" {
		s.Warn("%s", doc.Damage)
		s.Attention()
	}
	if c.Out != "-" {
		doc.Remarks = s.remarksOf(r)
		s.Summary("%s of %s in %s", plural(doc.Samples, "sample"), plural(doc.Columns, "column"), c.Out)
	}
	return s.EmitJSON(doc)
}

// copy writes all of r, or with Salvage what can be read.
func (c *logConvertCmd) copy(doc *converted, r flowlog.Reader, w io.Writer) error {
	fw, err := formats.Create(c.Out, w, r.Schema())
	if err != nil {
		return err
	}
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		switch {
		case errors.Is(err, io.EOF):
			return fw.Close()
		case err != nil && c.Salvage && doc.Samples > 0:
			doc.Damage = err.Error()
			return fw.Close()
		case err != nil:
			return errors.Join(err, nothingWritten(doc.Samples))
		}
		if err := fw.Write(&b); err != nil {
			return err
		}
		doc.Samples += b.Len()
	}
}

// nothingWritten is what to do when the reading ended after so many samples.
func nothingWritten(samples int) error {
	if samples == 0 {
		return nil
	}
	return fmt.Errorf("nothing was written; with --salvage, the %s before would be", plural(samples, "sample"))
}
