package yamldoc

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"runproof/input"
)

// Bounds of what is read. A drill of 400 rows and 60 heads with a comment on
// every line takes 30 kB and 600 lines. The time of the YAML scanner and parser
// grows with the square of some texts, in bytes or in lines: within these
// bounds the worst known takes about two seconds.
const (
	MaxBytes = 1 << 16
	MaxLines = 5000
	MaxDepth = 24
)

// Document is a YAML text and where its values stand.
type Document struct {
	// Hint gives the remedy for a number that could not be read or is outside
	// its limits, from the key and the text; it may be nil or return "".
	Hint func(key, text string, lo, hi float64) string

	file   string
	root   ast.Node
	places map[string]place
	faults input.Faults
}

// place is where a value stands, and whether it was read without a fault.
type place struct {
	at    input.Place
	bad   bool
	items []Item
}

// Parse reads the text; name is the file's name for messages. The error is
// input.Faults, or what r returned.
func Parse(r io.Reader, name string) (*Document, error) {
	d := &Document{file: name, places: make(map[string]place)}
	text, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	text, err = d.plainText(text)
	if err != nil {
		return nil, err
	}
	tokens, err := d.tokenize(text)
	if err != nil {
		return nil, err
	}
	if err := d.screen(tokens); err != nil {
		return nil, err
	}
	if d.root, err = d.parse(tokens); err != nil {
		return nil, err
	}
	return d, nil
}

// plainText checks size and encoding, and takes off the byte order mark that
// some editors write.
func (d *Document) plainText(text []byte) ([]byte, error) {
	whole := input.Place{File: d.file}
	if len(text) > MaxBytes {
		return nil, oneFault(whole, "check that this is the right file", "is over %d kB, far more than a description takes", MaxBytes>>10)
	}
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
		return nil, oneFault(whole, "save it as UTF-8", "is in UTF-16")
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	if i := invalidUTF8(text); i >= 0 {
		at := input.Place{File: d.file, Line: 1 + bytes.Count(text[:i], []byte("\n")), Col: 1 + utf8.RuneCount(text[bytes.LastIndexByte(text[:i], '\n')+1:i])}
		return nil, oneFault(at, "save the file as UTF-8", "byte %#02x is no text", text[i])
	}
	if n := bytes.Count(text, []byte("\n")); n > MaxLines {
		return nil, oneFault(whole, "check that this is the right file", "has %d lines, far more than a description takes", n)
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return nil, oneFault(whole, "", "is empty")
	}
	return text, nil
}

func invalidUTF8(text []byte) int {
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && n == 1 || r == 0 {
			return i
		}
		i += n
	}
	return -1
}

func (d *Document) tokenize(text []byte) (tokens token.Tokens, err error) {
	defer d.caught(&err)
	return lexer.Tokenize(string(text)), nil
}

// caught turns a panic into a fault: scanner and parser are not ours, and what
// they are fed comes from anywhere.
func (d *Document) caught(err *error) {
	if r := recover(); r != nil {
		*err = oneFault(input.Place{File: d.file}, "", "is no readable YAML")
	}
}

// parse runs the YAML parser on what screen has let through, and returns the
// value of the only document.
func (d *Document) parse(tokens token.Tokens) (root ast.Node, err error) {
	defer d.caught(&err)
	f, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, d.syntaxFault(err)
	}
	for _, doc := range f.Docs {
		switch {
		case doc.Body == nil:
		case root != nil:
			return nil, oneFault(d.at(doc.Body), "keep one document a file", "a second document begins")
		default:
			root = doc.Body
		}
	}
	if root == nil {
		return nil, oneFault(input.Place{File: d.file}, "", "holds nothing but comments")
	}
	return root, nil
}

// syntaxFault is the parser's own message at its place. The parser stops at
// the first fault.
func (d *Document) syntaxFault(err error) error {
	at := input.Place{File: d.file}
	what := err.Error()
	var ye yaml.Error
	if errors.As(err, &ye) {
		what = ye.GetMessage()
		if tk := ye.GetToken(); tk != nil && tk.Position != nil {
			at.Line, at.Col = tk.Position.Line, tk.Position.Column
		}
	}
	return oneFault(at, "check indentation (spaces, no tabs), quotes, brackets, and the space behind each colon", "no YAML: %s", what)
}

func oneFault(at input.Place, remedy, what string, args ...any) error {
	return input.Faults{{Place: at, What: fmt.Sprintf(what, args...), Remedy: remedy}}
}
