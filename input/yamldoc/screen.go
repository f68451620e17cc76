package yamldoc

import (
	"bytes"
	"regexp"
	"unicode/utf8"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"

	"runproof/input"
)

// screen refuses, before the parser recurses into it, text that nests deeper
// than any description does or uses what a description has no need of.
func (d *Document) screen(text []byte) error {
	if err := d.screenBlocks(text); err != nil {
		return err
	}
	var faults input.Faults
	flow, line, entries := 0, 0, 0
	for _, tk := range lexer.Tokenize(string(text)) {
		if tk.Position.Line != line {
			line, entries = tk.Position.Line, 0
		}
		at := input.Place{File: d.file, Line: tk.Position.Line, Col: tk.Position.Column}
		switch tk.Type {
		case token.MappingStartType, token.SequenceStartType:
			flow++
		case token.MappingEndType, token.SequenceEndType:
			flow--
		case token.SequenceEntryType:
			entries++
		default:
			if name, refused := refusedTokens[tk.Type]; refused {
				faults.Add(at, "write the values out in full", "%s have no place here", name)
			}
		}
		if flow > MaxDepth || entries > MaxDepth {
			faults.Add(at, "close brackets where their list ends", "nests more than %d deep", MaxDepth)
			break
		}
		if len(faults) >= maxFaults {
			break
		}
	}
	return faults.Err()
}

// screenBlocks refuses blocks of text (| and >) before the scanner sees them:
// it takes minutes over a long one, and a description has none.
func (d *Document) screenBlocks(text []byte) error {
	line := 0
	for s := range bytes.Lines(text) {
		line++
		if at := blockStart.FindIndex(s); at != nil {
			place := input.Place{File: d.file, Line: line, Col: 1 + utf8.RuneCount(s[:at[1]-len(bytes.TrimLeft(s[at[0]:at[1]], " \t:-"))])}
			return oneFault(place, "write the text on one line, in quotes", "blocks of text (| and >) have no place here")
		}
	}
	return nil
}

// blockStart is the sign that begins a block: last on its line, but for a
// comment.
var blockStart = regexp.MustCompile(`(^|[\s:-])[|>][-+0-9]{0,3}[ \t]*(#[^\n]*)?\n?$`)

var refusedTokens = map[token.Type]string{
	token.AnchorType:     "anchors (&)",
	token.AliasType:      "aliases (*)",
	token.TagType:        "tags (!)",
	token.MergeKeyType:   "merge keys (<<)",
	token.MappingKeyType: "complex keys (?)",
	token.DirectiveType:  "directives (%)",
}
