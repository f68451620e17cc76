package formats

import (
	"io"

	"runproof/flowlog"
	"runproof/flowlog/csv"
)

type csvFormat struct{}

func (csvFormat) Name() string     { return "CSV" }
func (csvFormat) Suffix() string   { return ".csv" }
func (csvFormat) Owns([]byte) bool { return true }

func (csvFormat) Open(src Source, keep func(flowlog.Column) bool) (flowlog.Reader, error) {
	return csv.NewReader(src.Stream, src.Name, keep)
}

func (csvFormat) Create(w io.Writer, s flowlog.Schema) (flowlog.Writer, error) {
	return csv.NewWriter(w, s)
}
