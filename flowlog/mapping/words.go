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

// Thousands is the sign between groups of three digits. The zero value is none.
type Thousands byte

// String is the sign, or its word.
func (t Thousands) String() string {
	switch t {
	case 0:
		return ""
	case ' ':
		return "space"
	}
	return string(rune(t))
}

// MarshalText writes the sign or its word.
func (t Thousands) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads the sign or its word.
func (t *Thousands) UnmarshalText(b []byte) error {
	switch s := string(b); s {
	case ".", ",", "'":
		*t = Thousands(s[0])
	case "space":
		*t = ' '
	default:
		return input.Fault{What: fmt.Sprintf("%.20q is no sign between thousands", b), Remedy: `use ".", ",", "'" or space`}
	}
	return nil
}

// without takes the sign out of a number. A number that has it in other places
// than before each three digits is none.
func (t Thousands) without(s string, decimal byte) (string, bool) {
	switch t {
	case ' ': // wide, narrow or not to be broken
		s = strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(s)
	case '\'':
		s = strings.ReplaceAll(s, "\u2019", "'")
	}
	if strings.IndexByte(s, byte(t)) < 0 {
		return s, true
	}
	whole, fraction, _ := strings.Cut(s, string(decimal))
	groups := strings.Split(whole, string(t))
	for i, g := range groups {
		if i > 0 && len(g) != 3 || i == 0 && (len(strings.TrimLeft(g, "+-")) < 1 || len(strings.TrimLeft(g, "+-")) > 3) {
			return s, false
		}
	}
	if strings.IndexByte(fraction, byte(t)) >= 0 {
		return s, false
	}
	return strings.Join(groups, "") + s[len(whole):], true
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
