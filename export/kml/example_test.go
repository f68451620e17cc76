package kml_test

import (
	"os"
	"strings"

	"runproof/export"
	"runproof/export/kml"
)

func ExampleWrite() {
	at := export.Position{-106.5795, 52.0339}
	l := export.Layer{
		Name: "events", Geometry: export.Point, Fields: []export.Field{{Name: "run", Means: "run"}, {Name: "kind", Means: "kind"}},
		Features: []export.Feature{{Cells: []any{"A-3", "blocked"}, At: &at}},
	}
	var b strings.Builder
	kml.Write(&b, "North Quarter", l)
	_, mark, _ := strings.Cut(b.String(), "<Placemark>")
	mark, _, _ = strings.Cut(mark, "</Placemark>")
	os.Stdout.WriteString(strings.ReplaceAll(mark, "\n   ", "\n "))
	// Output:
	// <name>A-3 blocked</name>
	//   <styleUrl>#blocked</styleUrl>
	//   <ExtendedData>
	//    <SchemaData schemaUrl="#fields-events">
	//     <SimpleData name="run">A-3</SimpleData>
	//     <SimpleData name="kind">blocked</SimpleData>
	//    </SchemaData>
	//   </ExtendedData>
	//   <Point>
	//    <coordinates>-106.5795,52.0339</coordinates>
	//   </Point>
}
