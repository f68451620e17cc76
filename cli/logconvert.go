package cli

import (
	"errors"
	"fmt"
	"io"
	"time"

	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/input"
)

type logConvertCmd struct {
	In  string        `arg:"" help:"Log to read, - for standard input."`
	Out string        `short:"o" required:"" placeholder:"FILE" help:"Log to write; the end of its name says the format."`
	For time.Duration `placeholder:"TIME" help:"How long to listen to can:<interface>, such as 90s or 2h; without it, until Ctrl-C."`

	Salvage bool `help:"When the log is damaged or wrong from some place on, write what stands before."`

	meaning
}

func (*logConvertCmd) Help() string {
	return "Reads a log in any format and writes it in the one that the name's end asks for: .csv, .csv.gz, .csv.zst or .parquet " +
		"(- is CSV on standard output). Every column is kept, and a cell that was not reported stays so.\n\n" +
		"Read are CSV and Parquet; ISO 11783-10 task data, as folder or zip (#TLG00003 behind the name chooses one time log); and any " +
		"other text or recording through a map, which log map proposes. CAN recordings (text of candump) need --dbc (#can0 behind the " +
		"name chooses one interface); can:can0 records that interface itself, on Linux.\n\n" +
		"Examples: runproof log convert day.csv.gz -o day.parquet\n" +
		"          runproof log convert TASKDATA.zip#TLG00003 --map map.yaml -o day.csv\n" +
		"          runproof log convert can:can0 --for 2h --dbc drill.dbc -o day.parquet"
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
	r, closeLog, err := c.open(s, opts)
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
	if c.Out == "-" {
		s.warnOfLoss(r) // standard output is the log's
	} else {
		doc.Remarks = s.remarksOf(r)
		s.Summary("%s of %s in %s", plural(doc.Samples, "sample"), plural(doc.Columns, "column"), c.Out)
	}
	return s.EmitJSON(doc)
}

// open opens a recording, or makes one of what comes over a CAN interface.
func (c *logConvertCmd) open(s *Shell, opts []formats.Option) (r flowlog.Reader, closeLog func() error, err error) {
	iface, live := liveCAN(c.In)
	switch {
	case !live && c.For != 0:
		return nil, nil, input.Fault{What: "--for says how long to listen, but " + c.In + " is no interface", Remedy: "take out --for, or name an interface such as can:can0"}
	case !live:
		r, _, closeLog, err = s.OpenLog(c.In, opts...)
		return r, closeLog, err
	case c.DBC == "":
		return nil, nil, noCAN(iface, "frames do not say what they hold", "CAN needs --dbc FILE, the DBC of that bus")
	}
	// A name that cannot be written must not come up after hours of listening.
	if _, err := formats.Create(c.Out, io.Discard, flowlog.Schema{}); err != nil {
		return nil, nil, err
	}
	return s.OpenLive(c.In, iface, c.For, opts)
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
