package cli

import (
	"errors"
	"fmt"
	"io"

	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/input"
)

type logConvertCmd struct {
	In      string `arg:"" help:"Log to read, - for standard input."`
	Out     string `short:"o" required:"" placeholder:"FILE" help:"Log to write; the end of its name says the format."`
	Salvage bool   `help:"When the log is damaged or wrong from some place on, write what stands before."`

	meaning
}

func (*logConvertCmd) Help() string {
	return "Reads a log in any format and writes it in the one that the name's end asks for: .csv, .csv.gz, .csv.zst or .parquet " +
		"(- is CSV on standard output). Every column is kept, and a cell that was not reported stays so.\n\n" +
		"Read are CSV and Parquet; ISO 11783-10 task data, as folder or zip (#TLG00003 behind the name chooses one time log); and any " +
		"other text or recording through a map, which log map proposes.\n\n" +
		"Examples: runproof log convert day.csv.gz -o day.parquet\n" +
		"          runproof log convert TASKDATA.zip#TLG00003 --map map.yaml -o day.csv"
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

func (c *logConvertCmd) Run(s *Shell) error {
	if c.Out == "-" && s.JSON {
		return input.Fault{What: "-o - and --json both want standard output", Remedy: "name a file"}
	}
	opts, err := c.options(s)
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
