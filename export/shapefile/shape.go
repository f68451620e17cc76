package shapefile

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"slices"

	"runproof/export"
	"runproof/input"
)

// The types of shape.
const (
	nullShape    = 0
	pointShape   = 1
	lineShape    = 3
	polygonShape = 5
)

const (
	fileCode = 9994
	version  = 1000
	headLen  = 100
)

// shapes makes .shp and .shx.
func shapes(l export.Layer) (shp, shx []byte, err error) {
	kind := int32(polygonShape)
	switch l.Geometry {
	case export.Point:
		kind = pointShape
	case export.MultiLineString:
		kind = lineShape
	}
	var records, index bytes.Buffer
	for i, f := range l.Features {
		body := shape(f)
		at := headLen + records.Len()
		if at+len(body) > math.MaxInt32-1024 {
			return nil, nil, input.Fault{What: "the ground takes more than the 2 GB that a shapefile may have", Remedy: "write a GeoPackage (.gpkg)"}
		}
		binary.Write(&records, binary.BigEndian, [2]int32{int32(i + 1), int32(len(body) / 2)})
		records.Write(body)
		binary.Write(&index, binary.BigEndian, [2]int32{int32(at / 2), int32(len(body) / 2)})
	}
	box := [4]float64{}
	if low, high, ok := l.Bounds(); ok {
		box = [4]float64{low[0], low[1], high[0], high[1]}
	}
	return append(head(kind, records.Len(), box), records.Bytes()...), append(head(kind, index.Len(), box), index.Bytes()...), nil
}

func head(kind int32, bodyLen int, box [4]float64) []byte {
	var b bytes.Buffer
	binary.Write(&b, binary.BigEndian, [7]int32{fileCode, 0, 0, 0, 0, 0, int32((headLen + bodyLen) / 2)})
	binary.Write(&b, binary.LittleEndian, [2]int32{version, kind})
	binary.Write(&b, binary.LittleEndian, [8]float64{box[0], box[1], box[2], box[3]}) // and no z nor m
	return b.Bytes()
}

// shape is the body of one record.
func shape(f export.Feature) []byte {
	var b bytes.Buffer
	switch {
	case f.At != nil:
		little(&b, int32(pointShape))
		little(&b, *f.At)
	case len(f.Lines) > 0:
		var parts [][]export.Position
		for _, l := range f.Lines {
			parts = append(parts, l)
		}
		figure(&b, lineShape, f, parts)
	case len(f.Ground) > 0:
		figure(&b, polygonShape, f, rings(f.Ground))
	default:
		little(&b, int32(nullShape))
	}
	return b.Bytes()
}

// rings are the ground's in the form's directions: outer ones clockwise.
func rings(g export.Ground) (parts [][]export.Position) {
	for _, p := range g {
		for _, r := range p {
			turned := slices.Clone(r)
			slices.Reverse(turned)
			parts = append(parts, turned)
		}
	}
	return parts
}

// figure writes lines or rings: box, where each part begins, the places.
func figure(b *bytes.Buffer, kind int32, f export.Feature, parts [][]export.Position) {
	low, high, _ := export.Layer{Features: []export.Feature{f}}.Bounds()
	var starts []int32
	places := int32(0)
	for _, p := range parts {
		starts = append(starts, places)
		places += int32(len(p))
	}
	little(b, kind)
	little(b, [4]float64{low[0], low[1], high[0], high[1]})
	little(b, [2]int32{int32(len(parts)), places})
	little(b, starts)
	for _, p := range parts {
		little(b, p)
	}
}

func little(w io.Writer, v any) { binary.Write(w, binary.LittleEndian, v) } // to a buffer: it cannot fail
