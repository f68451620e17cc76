package formats

import (
	"runproof/flowlog"
	"runproof/flowlog/gpx"
)

type gpxFormat struct{}

func (gpxFormat) Name() string          { return "GPX" }
func (gpxFormat) Owns(head []byte) bool { return gpx.Owns(head) }

func (gpxFormat) Open(src Source, o Options) (flowlog.Reader, error) {
	return gpx.NewReader(src.Stream, src.Name, o.Keep)
}
