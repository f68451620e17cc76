package kml

import (
	"image/color"
	"io"
	"strings"
	"time"

	"github.com/twpayne/go-kml/v3"

	"runproof/drawing"
	"runproof/export"
	"runproof/review"
)

// look is how a kind of event is drawn: colours of the Okabe-Ito set, and lines
// that differ in width.
var look = map[review.Kind]struct {
	ink   drawing.Ink
	width float64
}{
	review.Blocked:     {drawing.Vermillion, 3},
	review.Restricted:  {drawing.Orange, 2},
	review.HeadStarved: {drawing.Blue, 2},
	review.ProductOut:  {drawing.Purple, 4},
	review.SensorLost:  {drawing.Sky, 1},
	review.Noisy:       {drawing.Yellow, 1},
	review.NoData:      {drawing.Black, 1},
}

// trackStyle is the look of what is no event.
const trackStyle = "track"

// fillAlpha lets the field be seen through the ground, 0 to 255.
const fillAlpha = 110

// Write writes the layers under a title.
func Write(w io.Writer, title string, layers ...export.Layer) error {
	doc := []kml.Element{kml.Name(clean(title)), kml.Description(export.Safety)}
	for _, k := range review.Kinds() {
		doc = append(doc, style(k))
	}
	r, g, b := drawing.Soft.RGB()
	doc = append(doc, kml.SharedStyle(trackStyle, kml.LineStyle(kml.Color(color.RGBA{r, g, b, 255}), kml.Width(1))))
	for _, l := range layers {
		if l.Geometry != export.None {
			doc = append(doc, schema(l))
		}
	}
	for _, l := range layers {
		if l.Geometry != export.None {
			doc = append(doc, folder(l))
		}
	}
	return kml.KML(kml.Document(doc...)).WriteIndent(w, "", " ")
}

func style(k review.Kind) kml.Element {
	lk := look[k]
	r, g, b := lk.ink.RGB()
	return kml.SharedStyle(k.String(),
		kml.IconStyle(kml.Color(color.RGBA{r, g, b, 255})),
		kml.LineStyle(kml.Color(color.RGBA{r, g, b, 255}), kml.Width(lk.width)),
		kml.PolyStyle(kml.Color(color.RGBA{r, g, b, fillAlpha})), // written as it stands: KML's colours are not premultiplied
	)
}

func schema(l export.Layer) kml.Element {
	var fields []kml.Element
	for _, f := range l.Fields {
		kind := map[export.FieldType]string{export.Text: "string", export.Whole: "int", export.Decimal: "double", export.Truth: "bool"}[f.Type]
		fields = append(fields, kml.SimpleField(f.Name, kind, kml.DisplayName(f.Means)))
	}
	return kml.NamedSchema("fields-"+l.Name, l.Name, fields...)
}

func folder(l export.Layer) kml.Element {
	parts := []kml.Element{kml.Name(l.Name), kml.Description(l.Description())}
	for _, f := range l.Features {
		if f.Placed() {
			parts = append(parts, placemark(l, f))
		}
	}
	return kml.Folder(parts...)
}

func placemark(l export.Layer, f export.Feature) kml.Element {
	row := named(l, f)
	parts := []kml.Element{kml.Name(clean(label(row)))}
	if s := row["sentence"]; s != "" {
		parts = append(parts, kml.Description(clean(s)))
	}
	if span := timeSpan(row["start"], row["end"]); span != nil {
		parts = append(parts, span)
	}
	kind := row["kind"]
	if kind == "" {
		kind = trackStyle
	}
	parts = append(parts, kml.StyleURL("#"+kind), kml.ExtendedData(data(l, row)))
	if f.At != nil {
		return kml.Placemark(append(parts, kml.Point(kml.Coordinates(place(*f.At))))...)
	}
	var ground []kml.Element
	for _, l := range f.Lines {
		ground = append(ground, kml.LineString(coordinates(l)))
	}
	for _, p := range f.Ground {
		rings := []kml.Element{kml.OuterBoundaryIs(ring(p[0]))}
		for _, hole := range p[1:] {
			rings = append(rings, kml.InnerBoundaryIs(ring(hole)))
		}
		ground = append(ground, kml.Polygon(rings...))
	}
	return kml.Placemark(append(parts, kml.MultiGeometry(ground...))...)
}

// named are the cells as text by the names of their columns.
func named(l export.Layer, f export.Feature) map[string]string {
	row := map[string]string{}
	for i, field := range l.Fields {
		if s, ok := f.Cells[i].(string); ok {
			row[field.Name] = s
		} else if yes, ok := f.Cells[i].(bool); ok {
			row[field.Name] = map[bool]string{true: "1", false: "0"}[yes] // xsd:boolean, and what GDAL takes for a number
		} else if b, ok := export.Number(nil, f.Cells[i], field); ok {
			row[field.Name] = string(b)
		}
	}
	return row
}

// data are the cells that are known, in the order of the columns.
func data(l export.Layer, row map[string]string) kml.Element {
	var cells []kml.Element
	for _, f := range l.Fields {
		if v, ok := row[f.Name]; ok {
			cells = append(cells, kml.SimpleData(f.Name, clean(v)))
		}
	}
	return kml.SchemaData("#fields-"+l.Name, cells...)
}

// label is what stands beside the place: "A-3 blocked".
func label(row map[string]string) string {
	if row["kind"] == "" {
		return "pass " + row["pass"]
	}
	for _, who := range []string{"run", "head", "product"} {
		if row[who] != "" {
			return row[who] + " " + strings.ReplaceAll(row["kind"], "_", " ")
		}
	}
	return strings.ReplaceAll(row["kind"], "_", " ")
}

// timeSpan is nil where the recording's time has no date.
func timeSpan(start, end string) kml.Element {
	from, err1 := time.Parse(time.RFC3339Nano, start)
	to, err2 := time.Parse(time.RFC3339Nano, end)
	if err1 != nil || err2 != nil {
		return nil
	}
	return kml.TimeSpan(kml.Begin(from.UTC()), kml.End(to.UTC()))
}

func ring(r export.Ring) kml.Element {
	return kml.LinearRing(coordinates(r))
}

func coordinates(places []export.Position) kml.Element {
	at := make([]kml.Coordinate, len(places))
	for i, p := range places {
		at[i] = place(p)
	}
	return kml.Coordinates(at...)
}

func place(p export.Position) kml.Coordinate { return kml.Coordinate{Lon: p[0], Lat: p[1]} }

// clean takes out what XML cannot hold, even escaped (XML 1.0, 2.2).
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}
