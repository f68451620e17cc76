package shapefile

import (
	"archive/zip"
	"io"
	"time"

	"runproof/export"
)

// Set is a shapefile: its files share the name of the layer.
type Set struct {
	Files []File
	Cut   int // texts that were longer than 254 bytes
}

// File is one file of a set.
type File struct {
	Suffix string // ".shp"
	Bytes  []byte
}

// wgs84 is EPSG:4326 in the WKT that shapefiles use.
const wgs84 = `GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`

// Make makes the files of a layer; day stands in them as the day of change. The
// error is an input.Fault: the layer is larger than the form allows.
func Make(l export.Layer, day time.Time) (Set, error) {
	var s Set
	dbf, cut := table(l, day)
	s.Cut = cut
	if l.Geometry != export.None {
		shp, shx, err := shapes(l)
		if err != nil {
			return s, err
		}
		s.Files = append(s.Files, File{".shp", shp}, File{".shx", shx}, File{".prj", []byte(wgs84)})
	}
	s.Files = append(s.Files, File{".dbf", dbf}, File{".cpg", []byte("UTF-8")})
	return s, nil
}

// WriteZip writes layers as one archive, each set named after its layer; cut is
// as in Set.
func WriteZip(w io.Writer, day time.Time, layers ...export.Layer) (cut int, err error) {
	z := zip.NewWriter(w)
	for _, l := range layers {
		set, err := Make(l, day)
		if err != nil {
			return cut, err
		}
		cut += set.Cut
		for _, f := range set.Files {
			part, err := z.CreateHeader(&zip.FileHeader{Name: l.Name + f.Suffix, Method: zip.Deflate})
			if err != nil {
				return cut, err
			}
			if _, err := part.Write(f.Bytes); err != nil {
				return cut, err
			}
		}
	}
	return cut, z.Close()
}
