package cli

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"runproof/cli/sqlitefile"
	"runproof/drill"
	"runproof/export"
	"runproof/export/geopackage"
	"runproof/export/kml"
	"runproof/export/shapefile"
	"runproof/export/workbook"
	"runproof/input"
)

// exportJob is one export in the making: everything is made before the first
// file is written.
type exportJob struct {
	*exportCmd
	day    *export.Day
	drill  *drill.Drill // nil where none was named
	layers []export.Layer
	files  []madeFile
	folder string // to be made first; "" where none is
	doc    exportDoc
}

type madeFile struct {
	name  string
	bytes []byte
}

// add makes a file by writing it to memory.
func (j *exportJob) add(name string, fn func(io.Writer) error) error {
	var b bytes.Buffer
	if err := fn(&b); err != nil {
		return err
	}
	j.files = append(j.files, madeFile{name, b.Bytes()})
	return nil
}

// held enters layers in the result document.
func (j *exportJob) held(layers ...export.Layer) {
	for _, l := range layers {
		j.doc.Layers = append(j.doc.Layers, exportLayer{l.Name, l.Geometry.String(), len(l.Features), l.Unplaced()})
	}
}

func (j *exportJob) geoJSON() error {
	j.held(j.layers...)
	return j.add(j.Out, func(w io.Writer) error { return export.WriteGeoJSON(w, j.layers[0]) })
}

func (j *exportJob) csv() error {
	j.held(j.layers...)
	return j.add(j.Out, func(w io.Writer) error { return export.WriteCSV(w, j.layers[0]) })
}

func (j *exportJob) workbook() error {
	j.held(j.day.Events(), j.day.Runs())
	return j.add(j.Out, func(w io.Writer) error { return workbook.Write(w, j.day) })
}

func (j *exportJob) kml() error {
	j.held(j.layers...)
	return j.add(j.Out, func(w io.Writer) error { return kml.Write(w, j.day.Title(), j.layers...) })
}

func (j *exportJob) geoPackage() error {
	j.held(j.layers...)
	file, err := sqlitefile.Bytes(geopackage.Before(), geopackage.Script(j.day.End(), j.layers...))
	j.files = append(j.files, madeFile{j.Out, file})
	return err
}

func (j *exportJob) shapefile() error {
	j.held(j.layers...)
	set, err := shapefile.Make(j.layers[0], j.day.End())
	if err != nil {
		return inFile(err, j.Out)
	}
	if j.Out == "-" {
		return input.Fault{Place: input.Place{File: j.Out}, What: "a shapefile is several files", Remedy: "write a .zip"}
	}
	base := strings.TrimSuffix(j.Out, filepath.Ext(j.Out))
	for _, f := range set.Files {
		j.files = append(j.files, madeFile{base + f.Suffix, f.Bytes})
	}
	j.cut(set.Cut)
	return nil
}

func (j *exportJob) shapefileZip() error {
	j.held(j.layers...)
	return j.add(j.Out, func(w io.Writer) error {
		cut, err := shapefile.WriteZip(w, j.day.End(), j.layers...)
		j.cut(cut)
		return inFile(err, j.Out)
	})
}

func (j *exportJob) cut(texts int) {
	if texts > 0 {
		j.doc.Notes = append(j.doc.Notes, fmt.Sprintf("%s longer than 254 bytes cut, as a shapefile cannot hold more", plural(texts, "text")))
	}
}

// write writes what was made; the file that is named comes last, so that it
// stands for a whole set.
func (j *exportJob) write(s *Shell) error {
	if j.folder != "" {
		if err := s.makeDir(j.folder); err != nil {
			return err
		}
	}
	for i := len(j.files) - 1; i >= 0; i-- {
		f := j.files[i]
		if err := s.WriteFile(f.name, func(w io.Writer) error {
			_, err := w.Write(f.bytes)
			return err
		}); err != nil {
			return err
		}
	}
	for _, f := range j.files {
		j.doc.Files = append(j.doc.Files, exportFile{filepath.ToSlash(f.name), len(f.bytes)})
	}
	return nil
}
