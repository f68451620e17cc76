package export_test

import (
	"bytes"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// seen is what a reader finds in one layer.
type seen struct {
	Layer  string            `json:"layer"`
	Count  int               `json:"count"`
	Extent []float64         `json:"extent"` // least longitude and latitude, greatest; none where nothing is placed
	Fields []string          `json:"fields"`
	First  map[string]string `json:"first"`  // cells of the first feature; what is not known is left out
	Places [3]float64        `json:"places"` // of the first feature: how many, sum of longitudes, sum of latitudes
}

func (s *seen) place(first bool, lon, lat float64) {
	if len(s.Extent) == 0 {
		s.Extent = []float64{lon, lat, lon, lat}
	}
	e := s.Extent
	e[0], e[1], e[2], e[3] = min(e[0], lon), min(e[1], lat), max(e[2], lon), max(e[3], lat)
	if first {
		s.Places[0]++
		s.Places[1] += lon
		s.Places[2] += lat
	}
}

var (
	layerLine  = regexp.MustCompile(`^Layer name: (.*)$`)
	countLine  = regexp.MustCompile(`^Feature Count: (\d+)$`)
	extentLine = regexp.MustCompile(`^Extent: \((\S+), (\S+)\) - \((\S+), (\S+)\)$`)
	fieldLine  = regexp.MustCompile(`^([A-Za-z_0-9]+): (String|Integer|Integer64|Real|DateTime|Integer\(Boolean\)) \(`)
	featLine   = regexp.MustCompile(`^OGRFeature\(`)
	cellLine   = regexp.MustCompile(`^  ([A-Za-z_0-9]+) \((String|Integer|Integer64|Real|DateTime|Integer\(Boolean\))\) = (.*)$`)
	placePair  = regexp.MustCompile(`(-?[0-9][0-9.e+-]*) (-?[0-9][0-9.e+-]*)`)
)

// ogrinfo is what GDAL's ogrinfo reads from a file.
func ogrinfo(t *testing.T, file string) []seen {
	t.Helper()
	var complaints bytes.Buffer
	cmd := exec.Command("ogrinfo", "-al", file)
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil || complaints.Len() > 0 {
		t.Fatalf("ogrinfo %s: %v, %s", file, err, complaints.String())
	}
	var layers []seen
	features := 0
	for line := range strings.Lines(string(out)) {
		line = strings.TrimRight(line, "\n")
		if m := layerLine.FindStringSubmatch(line); m != nil {
			layers, features = append(layers, seen{Layer: m[1], First: map[string]string{}}), 0
			continue
		}
		if len(layers) == 0 {
			continue
		}
		s := &layers[len(layers)-1]
		switch m, x, f := countLine.FindStringSubmatch(line), extentLine.FindStringSubmatch(line), fieldLine.FindStringSubmatch(line); {
		case m != nil:
			s.Count, _ = strconv.Atoi(m[1])
		case x != nil:
			for _, v := range x[1:] {
				n, _ := strconv.ParseFloat(v, 64)
				s.Extent = append(s.Extent, n)
			}
		case f != nil:
			s.Fields = append(s.Fields, f[1]+" "+f[2])
		case featLine.MatchString(line):
			features++
		case features == 1:
			s.cell(line)
		}
	}
	return layers
}

func (s *seen) cell(line string) {
	m := cellLine.FindStringSubmatch(line)
	switch {
	case m != nil && m[3] != "(null)" && m[2] != "DateTime":
		s.First[m[1]] = m[3]
	case m == nil && (strings.HasPrefix(line, "  POINT") || strings.HasPrefix(line, "  POLYGON") || strings.HasPrefix(line, "  MULTIPOLYGON") || strings.HasPrefix(line, "  LINESTRING") || strings.HasPrefix(line, "  MULTILINESTRING") || strings.HasPrefix(line, "  GEOMETRYCOLLECTION")):
		for _, pair := range placePair.FindAllStringSubmatch(line, -1) {
			lon, _ := strconv.ParseFloat(pair[1], 64)
			lat, _ := strconv.ParseFloat(pair[2], 64)
			s.Places[0]++
			s.Places[1] += lon
			s.Places[2] += lat
		}
	}
}
