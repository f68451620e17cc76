package cli

import (
	"bytes"
	"io"
	"path/filepath"
)

// folderFile is one file of a folder of results.
type folderFile struct {
	name string
	fn   func(io.Writer) error
	text bytes.Buffer
}

// writeFolder makes every document before it writes the first, so that the
// folder holds all of a result or nothing of it.
func (s *Shell) writeFolder(dir string, files []folderFile) error {
	for i := range files {
		if err := files[i].fn(&files[i].text); err != nil {
			return err
		}
	}
	if err := s.makeDir(dir); err != nil {
		return err
	}
	for i := range files {
		if err := s.WriteFile(filepath.Join(dir, files[i].name), func(w io.Writer) error {
			_, err := files[i].text.WriteTo(w)
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}
