package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestReadme runs every command of README.md in order, in an empty folder.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	ran := 0
	for _, line := range fenced(string(text)) {
		args, ok := strings.CutPrefix(line, "runproof ")
		if !ok {
			continue
		}
		var out, errs bytes.Buffer
		if code := Main(shellWords(args), strings.NewReader(""), &out, &errs); code == ExitInput {
			t.Errorf("%s\n%s", line, errs.String())
		} else if out.Len() == 0 {
			t.Errorf("%s says nothing", line)
		}
		ran++
	}
	if ran < 10 {
		t.Errorf("only %d commands found in README.md", ran)
	}
	for _, name := range []string{"dossier.pdf", "review/report.pdf", "review/events.json", "rules.json", "as-found.json", "tour/plan.svg"} {
		if st, err := os.Stat(filepath.FromSlash(name)); err != nil || st.Size() == 0 {
			t.Errorf("%s is missing: %v", name, err)
		}
	}
}

// shellWords splits a line at spaces outside of double quotes.
func shellWords(line string) (words []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}

// fenced are the lines inside ```sh blocks.
func fenced(text string) (lines []string) {
	in := false
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		switch {
		case strings.HasPrefix(line, "```"):
			in = line == "```sh"
		case in:
			lines = append(lines, line)
		}
	}
	return lines
}
