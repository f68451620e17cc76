package schema

import (
	"embed"
	"io/fs"
	"strings"
)

//go:embed *.schema.json
var files embed.FS

const suffix = ".schema.json"

// Names lists the documents that have a schema, in alphabetical order.
func Names() []string {
	paths, err := fs.Glob(files, "*"+suffix)
	if err != nil {
		panic(err) // the pattern is ours
	}
	names := make([]string, len(paths))
	for i, p := range paths {
		names[i] = strings.TrimSuffix(p, suffix)
	}
	return names
}

// Of returns the schema of the document, and whether there is one.
func Of(name string) ([]byte, bool) {
	b, err := files.ReadFile(name + suffix)
	return b, err == nil
}
