package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"runproof/yard"
)

func TestSheetsWritesPapersAndPages(t *testing.T) {
	fit := planned(t)
	dir := filepath.Join(filepath.Dir(fit), "sheets")
	status, out, errw := runproof(t, "", "--json", "sheets", fit, "--paper", "letter", "--labels", "62x29", "--job", "Home farm", "-o", dir)
	if status != ExitDone || errw != "" {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	var papers []paper
	if err := json.Unmarshal([]byte(out), &papers); err != nil || len(papers) != 4 {
		t.Fatalf("%v: %s", err, out)
	}
	for i, name := range []string{"pre-assembly", "staging", "run-sheet", "labels"} {
		p := papers[i]
		if p.Name != name || p.PDF != filepath.Join(dir, name+".pdf") || len(p.SVG) != p.Pages || p.Pages == 0 {
			t.Errorf("%+v", p)
		}
		if b, err := os.ReadFile(p.PDF); err != nil || !bytes.HasPrefix(b, []byte("%PDF-")) {
			t.Errorf("%s is no PDF: %v", p.PDF, err)
		}
		for _, page := range p.SVG {
			if b, err := os.ReadFile(page); err != nil || !bytes.HasPrefix(b, []byte("<svg ")) {
				t.Errorf("%s is no picture: %v", page, err)
			}
		}
	}
}

// A shorter set over a longer one leaves pages that nobody must work from.
func TestSheetsTellsOfOldPages(t *testing.T) {
	fit := planned(t)
	dir := filepath.Dir(fit)
	if status, _, errw := runproof(t, "", "sheets", fit, "--labels", "62x29", "-o", dir); status != ExitDone || errw != "" {
		t.Fatal(errw)
	}
	if status, _, errw := runproof(t, "", "sheets", fit, "-o", dir); status != ExitDone || !strings.Contains(errw, "earlier set") {
		t.Errorf("%d, %q", status, errw)
	}
}

func TestSheetsBadInput(t *testing.T) {
	fit := planned(t)
	dir := filepath.Join(filepath.Dir(fit), "none")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--labels", "70x"}, "cannot be read"},
		{[]string{"--labels", "30x30"}, "too small"},
		{[]string{"--skip", "21"}, "skip 0 to 20"},
		{[]string{"--job", strings.Repeat("long ", 9)}, "at most 24"},
		{[]string{"--paper", "a5"}, "a4 or letter"},
	} {
		status, _, errw := runproof(t, "", append([]string{"sheets", fit, "-o", dir}, c.args...)...)
		if status != ExitInput || !strings.Contains(errw, c.want) {
			t.Errorf("%v: %d, %q", c.args, status, errw)
		}
		if _, err := os.Stat(dir); err == nil {
			t.Errorf("%v: the folder is made all the same", c.args)
		}
	}
}

func TestSheetsHelpNamesEverySize(t *testing.T) {
	f, _ := reflect.TypeFor[sheetsCmd]().FieldByName("Labels")
	for _, name := range yard.LabelSheets() {
		if !strings.Contains(f.Tag.Get("help"), name) {
			t.Errorf("the help does not name %s", name)
		}
	}
}
