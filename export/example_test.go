package export_test

import (
	"fmt"
	"os"

	"runproof/export"
)

func ExampleRead() {
	day, err := export.Read(os.DirFS("testdata/demo"), "review")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range day.Short {
		fmt.Printf("event %d, %s: %.1f m2 from %.5f, %.5f\n", s.Event.ID, s.Event.Kind, s.AreaM2(), s.Start[1], s.Start[0])
	}
	// Output:
	// event 1, blocked: 108.8 m2 from 52.03393, -106.57953
	// event 2, restricted: 178.5 m2 from 52.03640, -106.57914
	// event 4, blocked: 153.0 m2 from 52.03130, -106.57886
	// event 6, head_starved: 1049.8 m2 from 52.03098, -106.57841
	// event 8, product_out: 1601.1 m2 from 52.03434, -106.57741
}

func ExampleWriteGeoJSON() {
	at := export.Position{-106.5795, 52.0339}
	export.WriteGeoJSON(os.Stdout, export.Layer{
		Name: "events", Title: "Events", Geometry: export.Point,
		Fields: []export.Field{{Name: "run"}, {Name: "lost", Type: export.Decimal, Digits: 2}},
		Features: []export.Feature{
			{Cells: []any{"A-3", 0.95}, At: &at},
			{Cells: []any{nil, 0.5}},
		},
	})
	// Output:
	// {"type":"FeatureCollection","name":"events","description":"Events.","features":[
	// {"type":"Feature","geometry":{"type":"Point","coordinates":[-106.5795,52.0339]},"properties":{"run":"A-3","lost":0.95}},
	// {"type":"Feature","geometry":null,"properties":{"run":null,"lost":0.50}}
	// ]}
}
