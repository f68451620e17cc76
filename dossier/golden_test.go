package dossier

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"runproof/drawing"
	"runproof/drill"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := "testdata/" + name
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s changed; look at the pages, then renew with -update", file)
	}
}

// bookText is what a book says, page by page, one text a line.
func bookText(b *drawing.Book) []byte {
	var out bytes.Buffer
	for i, s := range b.Sheets {
		fmt.Fprintf(&out, "== page %d, %.0f x %.0f mm\n", i+1, s.Size.WMM, s.Size.HMM)
		out.WriteString(strings.Join(s.Texts(), "\n") + "\n")
	}
	return out.Bytes()
}

func TestGoldenTexts(t *testing.T) {
	f := fixture(drill.Cases()[2].Drill)
	golden(t, "dossier.txt", bookText(Book(Input{Fit: f, Proof: fixtureProof(f), Rules: fixtureRules(f)})))
	golden(t, "report.txt", bookText(Report(fixtureDay(f))))
}
