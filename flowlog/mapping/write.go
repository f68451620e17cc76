package mapping

import (
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Write writes the proposal as a document for a person to go on with.
func (p *Proposal) Write(w io.Writer) error {
	var b strings.Builder
	b.WriteString("runproof: " + Version + "\n")
	for _, n := range p.Notes {
		b.WriteString("# check: " + strings.ReplaceAll(n, "\n", " ") + "\n")
	}
	p.writeText(&b)
	p.writeTime(&b)
	if p.Line.Name != "" {
		fmt.Fprintf(&b, "line: {name: %s, value: %s}\n", quote(p.Line.Name), quote(p.Line.Value))
	}
	if p.RowsS > 0 {
		fmt.Fprintf(&b, "rows_s: %v\n", p.RowsS)
	}
	if len(p.Columns) > 0 {
		b.WriteString("columns: # what is not named here is kept under its own name\n")
	}
	for _, c := range p.Columns {
		b.WriteString("  - {" + strings.Join(c.pairs(), ", ") + "}\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (p *Proposal) writeText(b *strings.Builder) {
	t := p.Text
	var pairs []string
	add := func(key, value string) { pairs = append(pairs, key+": "+value) }
	if t.Delimiter != 0 {
		add("delimiter", quote(t.Delimiter.String()))
	}
	if t.Decimal != 0 {
		add("decimal", quote(t.Decimal.String()))
	}
	if t.Thousands != 0 {
		add("thousands", quote(t.Thousands.String()))
	}
	if t.Encoding != "" {
		add("encoding", string(t.Encoding))
	}
	if t.SkipLines > 0 {
		add("skip_lines", strconv.Itoa(t.SkipLines))
	}
	if t.NoHead {
		add("no_head", "true")
	}
	if t.SkipAfter > 0 {
		add("skip_after_head", strconv.Itoa(t.SkipAfter))
	}
	if len(t.Missing) > 0 {
		add("missing", listed(t.Missing))
	}
	if len(pairs) > 0 {
		b.WriteString("text: {" + strings.Join(pairs, ", ") + "}\n")
	}
}

func (p *Proposal) writeTime(b *strings.Builder) {
	t := p.Time
	if len(t.Columns) == 0 || len(t.Columns) == 1 && t.Columns[0] == "time" && t.Form == Auto {
		return
	}
	names := make([]string, len(t.Columns))
	for i, n := range t.Columns {
		names[i] = quote(n)
	}
	pairs := []string{"columns: [" + strings.Join(names, ", ") + "]"}
	if t.Form != Auto {
		pairs = append(pairs, "form: "+quote(string(t.Form)))
	}
	if t.Zone != "" {
		pairs = append(pairs, "zone: "+quote(t.Zone))
	}
	b.WriteString("time: {" + strings.Join(pairs, ", ") + "}\n")
}

func (c *Column) pairs() []string {
	pairs := []string{"from: " + quote(c.From), "to: " + quote(c.To)}
	if c.Unit != Own {
		pairs = append(pairs, "unit: "+quote(c.Unit.String()))
	}
	if c.Counts != Interval {
		pairs = append(pairs, "counts: "+c.Counts.String())
	}
	if c.WrapsAt != 0 {
		pairs = append(pairs, "wraps_at: "+strconv.FormatFloat(c.WrapsAt, 'f', -1, 64))
	}
	if c.Scale != 0 {
		pairs = append(pairs, "scale: "+strconv.FormatFloat(c.Scale, 'g', -1, 64))
	}
	if len(c.Missing) > 0 {
		var values []string
		for _, v := range c.Missing {
			values = append(values, strconv.FormatFloat(v, 'f', -1, 64))
		}
		pairs = append(pairs, "missing: ["+strings.Join(values, ", ")+"]")
	}
	if c.Side != "" {
		pairs = append(pairs, "side: "+quote(c.Side))
	}
	if len(c.On) > 0 {
		pairs = append(pairs, "on: "+listed(c.On))
	}
	return pairs
}

// listed is a list of words in quotes.
func listed(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = quote(w)
	}
	return "[" + strings.Join(quoted, ", ") + "]"
}

// quote puts text in quotes, so that YAML takes it for nothing else.
func quote(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", " ", "\t", `\t`, "\r", "").Replace(s) + `"`
}
