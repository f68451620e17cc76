package parcel

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"
	"time"

	"runproof/ledger"
)

var update = flag.Bool("update", false, "write the golden page anew")

func id(n int) ledger.ID {
	return ledger.NewID(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), ledger.Chance{9: byte(n)})
}

func file(name, text string) ledger.File {
	sum := sha256.Sum256([]byte(text))
	return ledger.File{Name: name, SHA256: hex.EncodeToString(sum[:]), Bytes: int64(len(text)), Media: ledger.MediaOf(name)}
}

// example is a job with a file twice, an erased one, and words that would hurt a
// page that takes them as they are.
func example() Job {
	texts := map[string]string{}
	keep := func(name, text string) ledger.File {
		f := file(name, text)
		texts[f.SHA256] = text
		return f
	}
	entry := func(n int, e ledger.Entry) ledger.Entry {
		e.ID, e.Job, e.By = id(n), id(0), "Ana & <Bo>"
		e.At = time.Date(2026, 4, n, 9, 30, 0, 0, time.UTC)
		e.Noted = e.At
		return e
	}
	one, two := keep("fit.json", "fit one"), keep("fit.json", "fit two")
	photo := keep("boot #1 50%.jpg", "picture")
	return Job{
		Job:      ledger.Job{ID: id(0), Handle: "north", Title: "North <b>farm</b>", Customer: id(9)},
		Customer: &ledger.Customer{ID: id(9), Name: "A. Grower", Reach: "555 0142"},
		Entries: []ledger.Entry{
			entry(1, ledger.Entry{Kind: ledger.Opened, Opening: &ledger.Opening{Handle: "north", Title: "North <b>farm</b>", Customer: id(9)}}),
			entry(2, ledger.Entry{Kind: ledger.Fit, Files: []ledger.File{one}, Revision: &ledger.Revision{Number: 1, Hash: one.SHA256, Drill: "D", Runs: 12, Placed: []ledger.Placed{{Serial: "4103", Head: "A"}}}}),
			entry(3, ledger.Entry{Kind: ledger.Photo, Text: "javascript:alert(1)\n<script>x</script>", Files: []ledger.File{photo}}),
			entry(4, ledger.Entry{Kind: ledger.Paper, Why: "wanted", Files: []ledger.File{photo, file("gone.txt", "gone")}}),
			entry(5, ledger.Entry{Kind: ledger.Swap, Exchange: &ledger.Exchange{Place: "A", Part: "node", Out: "4103", In: "4188", Fate: ledger.Scrapped}}),
			entry(6, ledger.Entry{Kind: ledger.Fit, Files: []ledger.File{two}, Revision: &ledger.Revision{Number: 2, Hash: two.SHA256, Follows: []string{one.SHA256}, Drill: "D", Runs: 12, Placed: []ledger.Placed{{Serial: "4188", Head: "A"}}, Left: []string{"4103"}}}),
		},
		Beside: []Beside{{Path: "fit.json", Says: "the fit", Write: func(w io.Writer) error { _, err := io.WriteString(w, "fit two"); return err }}},
		Open: func(f ledger.File) (io.ReadCloser, error) {
			if t, ok := texts[f.SHA256]; ok {
				return io.NopCloser(strings.NewReader(t)), nil
			}
			return nil, io.EOF
		},
	}
}

func packed(t testing.TB, j Job) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, j); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWriteThenRead(t *testing.T) {
	j := example()
	b := packed(t, j)
	if !bytes.Equal(b, packed(t, j)) {
		t.Error("the same job gives other bytes")
	}
	p, err := Read(bytes.NewReader(b), int64(len(b)), "north.zip")
	if err != nil {
		t.Fatal(err)
	}
	want, _ := json.Marshal(j.Entries)
	got, _ := json.Marshal(p.Entries)
	if !bytes.Equal(got, want) || p.Job != j.Job || *p.Customer != *j.Customer {
		t.Errorf("read %s, want %s", got, want)
	}
	seen := map[string]string{}
	if err := p.Each(func(f ledger.File, r io.Reader) error {
		text, err := io.ReadAll(r)
		seen[f.Name+" "+f.SHA256[:4]] = string(text)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if len(seen) != 3 || len(p.Erased()) != 1 {
		t.Errorf("files %v, erased %v", seen, p.Erased())
	}
}

// The page is what a person opens: a golden file, every link of it a file of the
// zip, no word of a person taken for the page's own.
func TestPage(t *testing.T) {
	b := packed(t, example())
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	page := string(content(t, z, "index.html"))
	if *update {
		os.WriteFile("testdata/index.html", []byte(page), 0o644)
	}
	if golden, err := os.ReadFile("testdata/index.html"); err != nil || string(golden) != page {
		t.Errorf("the page differs from testdata/index.html (%v):\n%s", err, page)
	}
	if strings.Contains(page, "<script") || strings.Contains(page, "http") || strings.Contains(page, "<b>") {
		t.Error("the page runs or loads something, or takes a person's words for its own")
	}
	links := regexp.MustCompile(`href="([^"]*)"`).FindAllStringSubmatch(page, -1)
	for _, l := range links {
		name, err := unescape(l[1])
		if err != nil {
			t.Error(err)
		}
		content(t, z, path.Clean(name))
	}
	if len(links) != 5 {
		t.Errorf("%d links", len(links))
	}
}

// unescape undoes a link's escapes (RFC 3986, 2.1).
func unescape(s string) (string, error) {
	var bad error
	return regexp.MustCompile(`%..`).ReplaceAllStringFunc(strings.ReplaceAll(s, "&#43;", "+"), func(e string) string {
		b, err := hex.DecodeString(e[1:])
		if err != nil {
			bad = err
		}
		return string(b)
	}), bad
}

func content(t *testing.T, z *zip.Reader, name string) []byte {
	t.Helper()
	f, err := z.Open(name)
	if err != nil {
		t.Error(err)
		return nil
	}
	defer f.Close()
	b, err := io.ReadAll(f)
	if err != nil {
		t.Error(err)
	}
	return b
}

// repacked changes job.json or a file of a parcel.
func repacked(t testing.TB, b []byte, change func(name string, text []byte) []byte) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if text = change(f.Name, text); text != nil {
			to, _ := w.Create(f.Name)
			to.Write(text)
		}
	}
	w.Close()
	return out.Bytes()
}

func TestReadRefuses(t *testing.T) {
	b := packed(t, example())
	swap := func(from, to string) func(string, []byte) []byte {
		return func(name string, text []byte) []byte {
			if name == "job.json" {
				return bytes.ReplaceAll(text, []byte(from), []byte(to))
			}
			return text
		}
	}
	for want, bad := range map[string][]byte{
		"not a zip":              []byte("PK no"),
		"has no job.json":        repacked(t, b, func(n string, x []byte) []byte { return map[bool][]byte{false: x}[n == "job.json"] }),
		`document is "parcel/9"`: repacked(t, b, swap("parcel/1", "parcel/9")),
		"is no kind of entry":    repacked(t, b, swap(`"photo"`, `"foto"`)),
		"is not in it":           repacked(t, b, swap(`"path": "files/2026-04-02`, `"path": "files/../../2026`)),
		"has no place":           repacked(t, b, swap(`"places": [`, `"places": [], "x": [`)),
		"is of another job":      repacked(t, b, swap(`"job": "`+string(id(0))+`",`, `"job": "`+string(id(5))+`",`)),
		"cannot be called":       repacked(t, b, swap("gone.txt", "../gone.txt")),
		"not the 7 that are said": repacked(t, b, func(n string, x []byte) []byte {
			return map[bool][]byte{true: append(x, '!'), false: x}[strings.HasSuffix(n, ".jpg")]
		}),
		"have another hash": repacked(t, b, func(n string, x []byte) []byte { return bytes.ReplaceAll(x, []byte("picture"), []byte("pictory")) }),
	} {
		p, err := Read(bytes.NewReader(bad), int64(len(bad)), "n.zip")
		if err == nil {
			err = p.Each(func(_ ledger.File, r io.Reader) error { _, err := io.Copy(io.Discard, r); return err })
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

// FuzzRead: whatever the bytes, no panic, and what is read is sound.
func FuzzRead(f *testing.F) {
	f.Add(packed(f, example()))
	f.Add([]byte("PK\x05\x06"))
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := Read(bytes.NewReader(b), int64(len(b)), "x")
		if err != nil {
			return
		}
		for _, e := range p.Entries {
			if err := e.Check(); err != nil {
				t.Error(err)
			}
		}
		p.Each(func(_ ledger.File, r io.Reader) error { _, err := io.Copy(io.Discard, r); return err })
	})
}

func ExampleFolder() {
	fmt.Println(Folder(example().Entries[2]))
	// Output: 2026-04-03-photo-000003
}
