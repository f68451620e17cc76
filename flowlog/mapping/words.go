package mapping

import (
	"fmt"
	"slices"
	"strings"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/htmlindex"

	"runproof/input"
	"runproof/input/yamldoc"
)

// oneWord is the index of s among words, or an error with the remedy.
func oneWord(s string, words []string) (int, error) {
	if i := slices.Index(words, s); i >= 0 {
		return i, nil
	}
	return 0, input.Fault{What: fmt.Sprintf("%.60q is not among the words for this", s), Remedy: input.DidYouMean(s, words)}
}

// Delimiter is what stands between cells. The zero value is the comma.
type Delimiter byte

var delimiters = map[string]Delimiter{",": ',', ";": ';', "|": '|', "tab": '\t', "space": ' '}

func (d Delimiter) byte() byte {
	if d == 0 {
		return ','
	}
	return byte(d)
}

// String is the word for it.
func (d Delimiter) String() string {
	switch d {
	case '\t':
		return "tab"
	case ' ':
		return "space"
	}
	return string(rune(d.byte()))
}

// MarshalText writes the sign or its word.
func (d Delimiter) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the sign or its word.
func (d *Delimiter) UnmarshalText(b []byte) error {
	v, ok := delimiters[string(b)]
	if *d = v; !ok {
		return input.Fault{What: fmt.Sprintf("%.20q is no delimiter", b), Remedy: `use ",", ";", "|", tab or space`}
	}
	return nil
}

// Decimal is the decimal sign. The zero value is the point.
type Decimal byte

// String is the sign.
func (d Decimal) String() string {
	if d == 0 {
		return "."
	}
	return string(rune(d))
}

// MarshalText writes the sign.
func (d Decimal) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the sign.
func (d *Decimal) UnmarshalText(b []byte) error {
	if s := string(b); s != "." && s != "," {
		return input.Fault{What: fmt.Sprintf("%.20q is no decimal sign", b), Remedy: `use "." or ","`}
	}
	*d = Decimal(b[0])
	return nil
}

// Encoding is how characters are stored, by its name on the web. The zero value
// is UTF-8.
type Encoding string

// MarshalText writes the name.
func (e Encoding) MarshalText() ([]byte, error) { return []byte(e), nil }

// UnmarshalText reads a name and knows it.
func (e *Encoding) UnmarshalText(b []byte) error {
	if *e = Encoding(strings.ToLower(string(b))); e.known() != nil {
		return input.Fault{What: fmt.Sprintf("encoding %.40q is not known", b), Remedy: "use utf-8, utf-16, windows-1252 or another name of the web"}
	}
	return nil
}

func (e Encoding) known() error {
	_, err := e.table()
	return err
}

func (e Encoding) table() (encoding.Encoding, error) {
	if e == "" {
		return htmlindex.Get("utf-8")
	}
	if e == "utf-16" {
		e = "utf-16le" // a byte order mark says otherwise where there is one
	}
	return htmlindex.Get(string(e))
}

// Names is one name or a list of them.
type Names []string

// UnmarshalItems reads one name, or a list.
func (n *Names) UnmarshalItems(items []yamldoc.Item) input.Faults {
	for _, it := range items {
		*n = append(*n, it.Text)
	}
	return nil
}

// Words are what cells may say; a person may write a number among them without
// quotes.
type Words []string

// UnmarshalItems reads the words.
func (w *Words) UnmarshalItems(items []yamldoc.Item) input.Faults {
	return (*Names)(w).UnmarshalItems(items)
}
