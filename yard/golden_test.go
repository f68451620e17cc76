package yard

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"runproof/drawing"
	"runproof/drawing/svg"
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

// pagesText is what a paper says, page by page, one text a line, without what
// the drawing of the drill says, which another room holds.
func pagesText(b *drawing.Book) []byte {
	var out bytes.Buffer
	for i, s := range b.Sheets {
		fmt.Fprintf(&out, "== page %d, %.0f x %.0f mm\n", i+1, s.Size.WMM, s.Size.HMM)
		for _, item := range s.Items {
			if v, ok := item.(drawing.Text); ok && !strings.HasPrefix(v.Text, "fit revision") {
				out.WriteString(v.Text + "\n")
			}
		}
	}
	return out.Bytes()
}

func TestGoldenTexts(t *testing.T) {
	f := whole(drill.Cases()[2].Drill)
	for _, name := range []string{"pre-assembly", "run-sheet"} {
		golden(t, name+".txt", pagesText(paper(t, Input{Fit: f, Job: "Gaps"}, name)))
	}
	var out bytes.Buffer
	if err := svg.Write(&out, paper(t, Input{Fit: bare(drill.Cases()[0].Drill)}, "labels").Sheets[0], svg.Options{NoGround: true}); err != nil {
		t.Fatal(err)
	}
	golden(t, "labels.svg", out.Bytes())
}
