package spreadsheet_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"testing"
	"time"

	"runproof/spreadsheet"
)

// zipped is a zip of parts as they come, at a time.
func zipped(t testing.TB, at time.Time, parts ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, p := range parts {
		f, err := w.CreateHeader(&zip.FileHeader{Name: p, Modified: at})
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(f, "text of "+p)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestSettle: parts in another order and of another time give the same bytes, and
// each part comes through whole.
func TestSettle(t *testing.T) {
	var one, two bytes.Buffer
	if err := spreadsheet.Settle(&one, zipped(t, time.Unix(1e9, 0), "b.xml", "a.xml"), nil); err != nil {
		t.Fatal(err)
	}
	if err := spreadsheet.Settle(&two, zipped(t, time.Unix(2e9, 0), "a.xml", "b.xml"), nil); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Error("the same parts give other bytes")
	}
	r, err := zip.NewReader(bytes.NewReader(one.Bytes()), int64(one.Len()))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"a.xml", "b.xml"} {
		f, err := r.File[i].Open()
		if err != nil {
			t.Fatal(err)
		}
		if text, err := io.ReadAll(f); err != nil || r.File[i].Name != name || string(text) != "text of "+name {
			t.Errorf("part %d is %s with %q, %v", i, r.File[i].Name, text, err)
		}
	}
	if err := spreadsheet.Settle(io.Discard, []byte("no zip"), nil); err == nil {
		t.Error("what is no zip is taken")
	}
}

// A part is mended on its way.
func ExampleSettle() {
	var book, out bytes.Buffer
	w := zip.NewWriter(&book)
	f, _ := w.Create("sheet.xml")
	fmt.Fprint(f, "twelve")
	w.Close()
	spreadsheet.Settle(&out, book.Bytes(), func(_ string, text []byte) []byte { return bytes.ToUpper(text) })
	r, _ := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	p, _ := r.File[0].Open()
	text, _ := io.ReadAll(p)
	fmt.Printf("%s\n", text)
	// Output: TWELVE
}
