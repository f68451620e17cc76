package yamldoc

import (
	"github.com/goccy/go-yaml/token"

	"runproof/input"
)

// screen refuses, before the parser recurses into it, text that nests deeper
// than any description does or uses what a description has no need of.
func (d *Document) screen(tokens token.Tokens) error {
	var faults input.Faults
	flow, line, entries := 0, 0, 0
	for _, tk := range tokens {
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

var refusedTokens = map[token.Type]string{
	token.AnchorType:     "anchors (&)",
	token.AliasType:      "aliases (*)",
	token.TagType:        "tags (!)",
	token.MergeKeyType:   "merge keys (<<)",
	token.MappingKeyType: "complex keys (?)",
	token.DirectiveType:  "directives (%)",
	token.LiteralType:    "blocks of text (|)",
	token.FoldedType:     "blocks of text (>)",
}
