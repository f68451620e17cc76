package cli

import (
	"errors"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/formats"
)

type logInfoCmd struct {
	Log string `arg:"" help:"Log to read, - for standard input."`
	Fit string `arg:"" optional:"" help:"Fit document, to compare ports with."`

	Ports bool `help:"Draw one line a port, not one a head or node."`

	meaning
}

func (*logInfoCmd) Help() string {
	return "Reads a log once and says what it holds: span, interval, gaps, ports and what they did not report, work state, and a " +
		"small picture of flow over time. With a fit it names the ports that only one of the two knows.\n\n" +
		"Example: runproof log info day.parquet fit.json"
}

func (c *logInfoCmd) Run(s *Shell) error {
	var f *fit.Fit
	if c.Fit != "" {
		var err error
		if f, _, err = s.ReadFit(c.Fit); err != nil {
			return err
		}
	}
	others := 0
	understood := formats.Only(func(col flowlog.Column) bool {
		if col.Kind == flowlog.Other {
			others++
		}
		return col.Kind != flowlog.Other
	})
	opts, err := c.options(s)
	if err != nil {
		return err
	}
	r, src, closeLog, err := s.OpenLog(c.Log, append(opts, understood)...)
	if err != nil {
		return err
	}
	defer closeLog()
	var bound *flowlog.Binding
	if f != nil {
		bound = flowlog.Bind(r.Schema(), f)
	}
	sum, damage := flowlog.Summarize(r, c.lines(r.Schema(), bound))
	if damage != nil && sum.Samples == 0 {
		return damage
	}
	doc := newLogInfo(sum, bound)
	doc.Name, doc.SHA256, doc.Others = src.Name, src.SHA256, others
	doc.Remarks = s.remarksOf(r)
	if damage != nil {
		doc.Damage = damage.Error()
	}
	if doc.remarkable() {
		s.Attention()
	}
	doc.print(s, sum)
	return errors.Join(damage, s.EmitJSON(doc))
}

// lines are the lines of the picture: ports taken together by head when there
// is a fit, else by node, unless there are few or each is asked for.
func (c *logInfoCmd) lines(schema flowlog.Schema, bound *flowlog.Binding) []flowlog.Line {
	const few = 24
	var g grouping
	if bound != nil {
		for _, r := range bound.Runs {
			switch {
			case r.Column == flowlog.None:
			case c.Ports:
				g.add(string(r.ID), r.Column)
			default:
				g.add(string(r.Head), r.Column)
			}
		}
		return g.lines
	}
	ports := portColumns(schema)
	for _, i := range ports {
		if c.Ports || len(ports) <= few {
			g.add(schema.Columns[i].Name, i)
		} else {
			g.add(schema.Columns[i].Port.Node, i)
		}
	}
	return g.lines
}

// grouping collects columns under names, in the order in which names come up.
type grouping struct {
	lines []flowlog.Line
	at    map[string]int
}

func (g *grouping) add(name string, column int) {
	i, known := g.at[name]
	if !known {
		if g.at == nil {
			g.at = map[string]int{}
		}
		i = len(g.lines)
		g.at[name] = i
		g.lines = append(g.lines, flowlog.Line{Name: name})
	}
	g.lines[i].Columns = append(g.lines[i].Columns, column)
}

func portColumns(schema flowlog.Schema) []int {
	var ports []int
	for i, c := range schema.Columns {
		if c.Kind == flowlog.Port {
			ports = append(ports, i)
		}
	}
	return ports
}
