package formats

import (
	"io"

	"runproof/flowlog"
	"runproof/flowlog/csv"
	"runproof/flowlog/mapping"
)

type csvFormat struct{}

func (csvFormat) Name() string   { return "CSV" }
func (csvFormat) Suffix() string { return ".csv" }

// Owns: text has no sign of its own. It gets what is left over.
func (csvFormat) Owns([]byte) bool { return false }

func (csvFormat) Open(src Source, o Options) (flowlog.Reader, error) {
	if o.Map != nil {
		return mapping.NewText(src.Stream, src.Name, o.Map)
	}
	return csv.NewReader(src.Stream, src.Name, o.Keep)
}

func (csvFormat) Create(w io.Writer, s flowlog.Schema) (flowlog.Writer, error) {
	return csv.NewWriter(w, s)
}
