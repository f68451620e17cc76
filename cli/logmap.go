package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"

	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/flowlog/mapping"
	"runproof/input"
)

type logMapCmd struct {
	Sample string `arg:"" help:"Recording to look at, - for standard input."`
	Out    string `short:"o" placeholder:"FILE" help:"Map to write; without it, to standard output."`
	Lines  int    `default:"8" help:"How many decoded samples to show."`

	meaning
}

func (*logMapCmd) Help() string {
	return "Looks at the beginning of a recording and writes the map that would read it: how the text is written, which column is time, " +
		"position, speed, work or a port, and whether counts are of their own line or run on. Lines that begin with \"# check\" say " +
		"what to look at. Below it stand the first samples as the map reads them. Correct the map, then give it to log convert.\n\n" +
		"Example: runproof log map yard.txt -o map.yaml"
}

// logMapped is the result document of log map.
type logMapped struct {
	Runproof string       `json:"runproof"` // logmap/1
	Map      *mapping.Map `json:"map"`
	Check    []string     `json:"check"`   // what a person should look at
	Columns  []string     `json:"columns"` // of the samples below, besides time
	Samples  []mappedRow  `json:"samples"` // the first ones, as the map reads them
	Remarks  []remark     `json:"remarks"`
}

type mappedRow struct {
	Time   string     `json:"time"`
	Values []*float64 `json:"values"` // null where not reported
}

func (c *logMapCmd) Run(s *Shell) error {
	if c.Map != "" {
		return input.Fault{What: "log map makes a map", Remedy: "take out --map; log convert reads a recording through one"}
	}
	p, err := c.propose(s)
	if err != nil {
		return err
	}
	doc, err := c.decoded(s, &p.Map)
	if err != nil {
		return err
	}
	doc.Check = append([]string{}, p.Notes...)
	if c.Out != "" && c.Out != "-" {
		if err := s.WriteFile(c.Out, p.Write); err != nil {
			return err
		}
		for _, n := range p.Notes {
			s.Summary("check: %s", n)
		}
		s.Summary("%s", doc.table(""))
		dbc := ""
		if c.DBC != "" {
			dbc = " --dbc " + c.DBC
		}
		s.Summary("map in %s; log convert %s%s --map %s -o OUT reads the recording through it", c.Out, c.Sample, dbc, c.Out)
		return s.EmitJSON(doc)
	}
	if s.JSON {
		return s.EmitJSON(doc)
	}
	if err := p.Write(s.Out); err != nil {
		return err
	}
	fmt.Fprint(s.Out, doc.table("# "))
	return nil
}

// propose looks at the sample: a recording that names its own columns is opened,
// any other text is looked at as such.
func (c *logMapCmd) propose(s *Shell) (*mapping.Proposal, error) {
	text, isText, err := s.textSample(c.Sample)
	if err != nil {
		return nil, err
	}
	if isText {
		return mapping.ProposeText(bytes.NewReader(text), c.Sample)
	}
	opts, err := c.options(s)
	if err != nil {
		return nil, err
	}
	r, _, closeLog, err := s.OpenLog(c.Sample, opts...)
	if err != nil {
		return nil, err
	}
	defer closeLog()
	return mapping.Propose(r)
}

// textSample is the beginning of a text that is no format of its own.
func (s *Shell) textSample(name string) (text []byte, isText bool, err error) {
	path, _ := logPart(name)
	if _, ok := logFolder(path); ok {
		return nil, false, nil
	}
	f, done, err := s.logFile(path)
	if err != nil {
		return nil, false, err
	}
	defer done()
	return formats.TextSample(formats.Source{Name: path, Stream: f})
}

// decoded reads the first samples through the map.
func (c *logMapCmd) decoded(s *Shell, m *mapping.Map) (*logMapped, error) {
	opts, err := c.options(s)
	if err != nil {
		return nil, err
	}
	r, _, closeLog, err := s.OpenLog(c.Sample, append(opts, formats.With(m))...)
	if err != nil {
		return nil, err
	}
	defer closeLog()
	doc := &logMapped{Runproof: "logmap/1", Map: m, Samples: []mappedRow{}, Remarks: []remark{}, Columns: []string{}}
	schema := r.Schema()
	for _, col := range schema.Columns {
		doc.Columns = append(doc.Columns, col.Name)
	}
	var b flowlog.Batch
	for len(doc.Samples) < c.Lines {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			for _, m := range flowlog.RemarksOf(r) {
				doc.Remarks = append(doc.Remarks, remark(m))
			}
			break
		}
		if err != nil {
			return nil, err
		}
		for i := 0; i < b.Len() && len(doc.Samples) < c.Lines; i++ {
			row := mappedRow{Time: schema.Clock.Format(b.TimeNS[i])}
			for k := range b.Values {
				row.Values = append(row.Values, nil)
				if v := b.Values[k][i]; v == v {
					row.Values[k] = &v
				}
			}
			doc.Samples = append(doc.Samples, row)
		}
	}
	return doc, nil
}

// table shows the samples, a line each, as far as they fit beside each other.
func (d *logMapped) table(before string) string {
	const most = 14
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	shown := d.Columns[:min(len(d.Columns), most)]
	fmt.Fprintf(w, "%stime\t%s\n", before, strings.Join(shown, "\t"))
	for _, row := range d.Samples {
		cells := make([]string, len(shown))
		for i := range shown {
			if cells[i] = "-"; row.Values[i] != nil {
				cells[i] = strconv.FormatFloat(*row.Values[i], 'g', 10, 64)
			}
		}
		fmt.Fprintf(w, "%s%s\t%s\n", before, row.Time, strings.Join(cells, "\t"))
	}
	w.Flush()
	if more := len(d.Columns) - len(shown); more > 0 {
		fmt.Fprintf(&b, "%sand %s\n", before, plural(more, "more column"))
	}
	for _, m := range d.Remarks {
		fmt.Fprintf(&b, "%s%s\n", before, m.What)
	}
	return strings.TrimRight(b.String(), "\n") + "\n"
}
