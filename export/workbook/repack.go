package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"io"
	"slices"
)

// repacked writes the spreadsheet's parts in the order of their names and
// without times, so that the same content gives the same bytes.
func repacked(w io.Writer, book []byte) error {
	in, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		return err
	}
	out := zip.NewWriter(w)
	for _, f := range slices.SortedFunc(slices.Values(in.File), func(a, b *zip.File) int { return cmp.Compare(a.Name, b.Name) }) {
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
	part, err := out.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
	if err != nil {
		return err
	}
	_, err = io.Copy(part, r)
	return err
}
