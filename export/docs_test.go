package export_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"runproof/export"
)

// docs/exports.md lists every column of every layer as it is written.
func TestDocsListTheColumns(t *testing.T) {
	b, err := os.ReadFile("../docs/exports.md")
	if err != nil {
		t.Fatal(err)
	}
	var d export.Day
	for _, l := range []export.Layer{d.Skips(), d.Events(), d.Track(), d.Runs()} {
		for _, f := range l.Fields {
			kind := [...]string{"text", "whole number", "number", "yes or no"}[f.Type]
			if line := fmt.Sprintf("| %s | %s | %s | %s | %s |\n", l.Name, f.Name, f.Short, kind, f.Means); !strings.Contains(string(b), line) {
				t.Errorf("docs/exports.md lacks\n%s", line)
			}
		}
	}
}
