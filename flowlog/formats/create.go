package formats

import (
	"errors"
	"io"
	"strings"

	"runproof/flowlog"
	"runproof/input"
)

// Create begins a log in the format that name's end asks for: .csv, .csv.gz,
// .csv.zst or .parquet. "-", standard output, is CSV. The writer's Close does
// not close w.
func Create(name string, w io.Writer, s flowlog.Schema) (flowlog.Writer, error) {
	f, p, err := chosen(name)
	if err != nil {
		return nil, err
	}
	if err := writable(name, s); err != nil {
		return nil, err
	}
	if p == nil {
		return f.Create(w, s)
	}
	pw, err := p.pack(w)
	if err != nil {
		return nil, err
	}
	fw, err := f.Create(pw, s)
	return packedWriter{fw, pw}, err
}

// chosen is the format and the packing, or nil, that a name asks for.
func chosen(name string) (Creator, *packing, error) {
	lower := strings.ToLower(name)
	if name == "-" {
		return text, nil, nil
	}
	for _, c := range creators() {
		if strings.HasSuffix(lower, c.Suffix()) {
			return c, nil, nil
		}
	}
	for _, p := range packings {
		if strings.HasSuffix(lower, text.Suffix()+p.suffix) {
			return text, &p, nil
		}
	}
	return nil, nil, input.Fault{
		Place:  input.Place{File: name},
		What:   "the name does not say which format to write",
		Remedy: "end it in " + input.OneOf(Suffixes()),
	}
}

// creators are the formats that can be written, text first.
func creators() []Creator {
	cs := []Creator{text}
	for _, f := range all {
		if c, ok := f.(Creator); ok {
			cs = append(cs, c)
		}
	}
	return cs
}

// Suffixes are the ends of names that Create knows.
func Suffixes() []string {
	var s []string
	for _, c := range creators() {
		s = append(s, c.Suffix())
		if c == text {
			for _, p := range packings {
				s = append(s, text.Suffix()+p.suffix)
			}
		}
	}
	return s
}

// writable refuses a schema that no reader would take back.
func writable(name string, s flowlog.Schema) error {
	names := []string{flowlog.TimeName}
	for _, c := range s.Columns {
		names = append(names, c.Name)
	}
	_, _, err := flowlog.ReadHead(names, func(int) input.Place { return input.Place{File: name} })
	return err
}

// packedWriter closes the packing behind the log in it.
type packedWriter struct {
	flowlog.Writer
	pack io.Closer
}

func (w packedWriter) Close() error { return errors.Join(w.Writer.Close(), w.pack.Close()) }
