package cli

import (
	"fmt"
	"io"

	"runproof/input"
	"runproof/schema"
)

type schemaCmd struct {
	Document string `arg:"" help:"Which document; see below."`
	Out      string `short:"o" default:"-" placeholder:"FILE" help:"File to write; standard output where none is named."`
}

func (*schemaCmd) Help() string {
	return "Prints the JSON Schema (draft 2020-12) of a document: " + input.OneOf(schema.Names()) + ". Editors that know YAML then offer keys and mark faults while you write: " +
		"put # yaml-language-server: $schema=drill.schema.json on the first line of drill.yaml.\n\n" +
		"Example: runproof schema drill -o drill.schema.json"
}

func (c *schemaCmd) Run(s *Shell) error {
	text, ok := schema.Of(c.Document)
	if !ok {
		return input.Fault{
			What:   fmt.Sprintf("there is no schema of %q", c.Document),
			Remedy: input.DidYouMean(c.Document, schema.Names()),
		}
	}
	return s.WriteFile(c.Out, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}
