package formats_test

import (
	"bytes"
	"compress/gzip"
	"os"
	"testing"

	"runproof/flowlog"
	"runproof/flowlog/formats"
)

// TestPositionLogsAreKnownByContent: NMEA and GPX, packed or not, whatever they
// are called.
func TestPositionLogsAreKnownByContent(t *testing.T) {
	for _, name := range []string{"../nmea/testdata/lines.nmea", "../gpx/testdata/points10.gpx", "../gpx/testdata/points11.gpx"} {
		plain, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var packed bytes.Buffer
		w := gzip.NewWriter(&packed)
		w.Write(plain)
		w.Close()
		for _, b := range [][]byte{plain, packed.Bytes()} {
			r, closer, err := formats.Open(formats.Source{Name: "log", Stream: bytes.NewReader(b)}, formats.Only(func(c flowlog.Column) bool { return c.Kind == flowlog.Lat }))
			if err != nil {
				t.Fatal(name, err)
			}
			l, err := flowlog.ReadAll(r)
			if err != nil || l.Len() < 5 || len(l.Columns) != 1 || l.Columns[0].Kind != flowlog.Lat {
				t.Errorf("%s: %v, %d records of %v", name, err, l.Len(), l.Columns)
			}
			closer()
		}
	}
}
