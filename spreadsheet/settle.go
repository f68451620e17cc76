package spreadsheet

import (
	"archive/zip"
	"bytes"
	"cmp"
	"io"
	"slices"
)

// Settle writes the workbook's parts in the order of their names and without
// times. mend may change a part on its way, told by its name; nil leaves all as
// they are. The error is that of a book that is no zip, or of w.
func Settle(w io.Writer, book []byte, mend func(part string, text []byte) []byte) error {
	in, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		return err
	}
	out := zip.NewWriter(w)
	for _, f := range slices.SortedFunc(slices.Values(in.File), func(a, b *zip.File) int { return cmp.Compare(a.Name, b.Name) }) {
		if err := settlePart(out, f, mend); err != nil {
			return err
		}
	}
	return out.Close()
}

func settlePart(out *zip.Writer, f *zip.File, mend func(string, []byte) []byte) error {
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	text, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	if mend != nil {
		text = mend(f.Name, text)
	}
	part, err := out.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
	if err != nil {
		return err
	}
	_, err = part.Write(text)
	return err
}
