package shapefile_test

import (
	"fmt"
	"time"

	"runproof/export"
	"runproof/export/shapefile"
)

func ExampleMake() {
	at := export.Position{-106.5795, 52.0339}
	l := export.Layer{
		Name: "events", Geometry: export.Point,
		Fields:   []export.Field{{Name: "run", Short: "run"}},
		Features: []export.Feature{{Cells: []any{"A-3"}, At: &at}},
	}
	set, _ := shapefile.Make(l, time.Date(2026, 5, 12, 0, 0, 0, 0, time.UTC))
	for _, f := range set.Files {
		fmt.Println(f.Suffix, len(f.Bytes))
	}
	// Output:
	// .shp 128
	// .shx 108
	// .prj 145
	// .dbf 70
	// .cpg 5
}
