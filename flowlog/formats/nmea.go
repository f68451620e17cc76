package formats

import (
	"runproof/flowlog"
	"runproof/flowlog/nmea"
)

type nmeaFormat struct{}

func (nmeaFormat) Name() string          { return "NMEA 0183" }
func (nmeaFormat) Owns(head []byte) bool { return nmea.Owns(head) }

func (nmeaFormat) Open(src Source, o Options) (flowlog.Reader, error) {
	return nmea.NewReader(src.Stream, src.Name, o.Keep)
}
