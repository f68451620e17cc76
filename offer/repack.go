package offer

import (
	"archive/zip"
	"bytes"
	"cmp"
	"io"
	"regexp"
	"slices"
	"strings"
)

// The library marks the value that a formula carries as text; readers that do
// not reckon would take a number for a word.
var formulaAsText = regexp.MustCompile(`(<c r="[A-Z]+[0-9]+"(?: s="[0-9]+")?) t="str">(<f>)`)

// repacked writes the spreadsheet's parts in the order of their names and
// without times, so that the same content gives the same bytes.
func repacked(w io.Writer, book []byte) error {
	in, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		return err
	}
	files := slices.SortedFunc(slices.Values(in.File), func(a, b *zip.File) int { return cmp.Compare(a.Name, b.Name) })
	out := zip.NewWriter(w)
	for _, f := range files {
		if err := copyPart(out, f); err != nil {
			return err
		}
	}
	return out.Close()
}

func copyPart(out *zip.Writer, f *zip.File) error {
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	text, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	if strings.HasPrefix(f.Name, "xl/worksheets/") {
		text = formulaAsText.ReplaceAll(text, []byte("$1>$2"))
	}
	part, err := out.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
	if err != nil {
		return err
	}
	_, err = part.Write(text)
	return err
}
