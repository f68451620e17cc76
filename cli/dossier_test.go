package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// planned writes a fit for a small drill and returns its name.
func planned(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	drill, fit := filepath.Join(dir, "drill.yaml"), filepath.Join(dir, "fit.json")
	if status, _, errw := runproof(t, "", "drill", "new", "--rows", "12", "--spacing", "0.25", "-o", drill); status != ExitDone {
		t.Fatal(errw)
	}
	if status, _, errw := runproof(t, "", "plan", drill, "-o", fit); status != ExitDone {
		t.Fatal(errw)
	}
	return fit
}

func TestDossierWritesBookAndPlan(t *testing.T) {
	fit := planned(t)
	dir := filepath.Dir(fit)
	book, plan := filepath.Join(dir, "dossier.pdf"), filepath.Join(dir, "plan.svg")
	status, out, errw := runproof(t, "", "dossier", fit, "--paper", "letter", "--plan", plan, "--work-switch", "N1:open", "-o", book)
	if status != ExitDone || errw != "" || !strings.Contains(out, "pages on letter") {
		t.Fatalf("%d, %s%s", status, out, errw)
	}
	if b, err := os.ReadFile(book); err != nil || !bytes.HasPrefix(b, []byte("%PDF-")) {
		t.Errorf("no PDF: %v", err)
	}
	if b, err := os.ReadFile(plan); err != nil || !bytes.HasPrefix(b, []byte("<svg ")) {
		t.Errorf("no picture: %v", err)
	}
}

func TestDossierJSONListsChapters(t *testing.T) {
	fit := planned(t)
	_, out, _ := runproof(t, "", "--json", "dossier", fit, "-o", filepath.Join(filepath.Dir(fit), "dossier.pdf"))
	var chapters []chapter
	if err := json.Unmarshal([]byte(out), &chapters); err != nil || len(chapters) < 8 || chapters[0].Page != 1 {
		t.Errorf("%v: %s", err, out)
	}
}

func TestDossierBadInput(t *testing.T) {
	fit := planned(t)
	broken := filepath.Join(filepath.Dir(fit), "proof.json")
	if err := os.WriteFile(broken, []byte(`{"runproof":"nothing/1"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		args []string
		errw string
	}{
		{"paper", []string{"--paper", "a3"}, "use a4 or letter"},
		{"switch at a strange node", []string{"--work-switch", "N9:open"}, "did you mean N1"},
		{"switch without a way", []string{"--work-switch", "N1"}, "closed, open"},
		{"proof that is not there", []string{"--proof", "none.json"}, "none.json"},
		{"proof that is none", []string{"--proof", broken}, "proof.json"},
		{"rules that are none", []string{"--rules", broken}, "proof.json"},
		{"parts that are not there", []string{"--parts", "none.yaml"}, "none.yaml"},
	} {
		book := filepath.Join(filepath.Dir(fit), "bad.pdf")
		status, _, errw := runproof(t, "", append([]string{"dossier", fit, "-o", book}, c.args...)...)
		if status != ExitInput || !strings.Contains(errw, c.errw) {
			t.Errorf("%s: %d, %s", c.name, status, errw)
		}
		if _, err := os.Stat(book); err == nil {
			t.Errorf("%s: a book was left behind", c.name)
		}
	}
}
