package review

import (
	"encoding/csv"
	"io"
	"strconv"

	"runproof/input/jsondoc"
)

// WriteRuns writes runs.csv: one line a watched run.
func (r *Result) WriteRuns(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write([]string{
		"run", "product", "head", "row", "node", "port", "share", "mean_share", "rate_per_s", "variance_to_mean",
		"quiet_per_s", "settled_work_s", "missing_share", "events", "lost_metres", "lost_area_m2",
	})
	for _, s := range r.Runs {
		c.Write([]string{
			string(s.Run), string(s.Product), string(s.Head), strconv.Itoa(s.Row), s.Node, strconv.Itoa(s.Port),
			num(s.Share, 5), num(s.MeanShare, 5), num(s.RateHz, 2), num(s.VarianceToMean, 3),
			num(s.QuietHz, 3), num(s.WorkS, 1), num(s.MissingShare, 6), strconv.Itoa(s.Events), num(s.LostMetres, 1), num(s.LostAreaM2, 1),
		})
	}
	c.Flush()
	return c.Error()
}

func num(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }

// feature is a GeoJSON feature (RFC 7946). The structs stand here because the
// geometry library's GeoJSON package brings a database driver along.
type feature struct {
	Type       string     `json:"type"`
	Geometry   geometry   `json:"geometry"`
	Properties properties `json:"properties"`
}

type geometry struct {
	Type        string           `json:"type"`
	Coordinates [][][][2]float64 `json:"coordinates"` // polygon, ring, place
}

type properties struct {
	Event   int     `json:"event"`
	Kind    Kind    `json:"kind"`
	Run     string  `json:"run"`
	Head    string  `json:"head"`
	Product string  `json:"product"`
	Start   string  `json:"start"`
	End     string  `json:"end"`
	Lost    float64 `json:"lost"`
	Metres  float64 `json:"metres"`
	AreaM2  float64 `json:"area_m2"`
}

// WriteSkips writes skips.geojson (RFC 7946, WGS 84): a feature for each event
// that left ground short of product and whose place is known.
func (r *Result) WriteSkips(w io.Writer) error {
	fs := make([]feature, 0, len(r.Skips))
	for _, s := range r.Skips {
		ev := r.Events[s.Event-1]
		f := feature{Type: "Feature", Geometry: geometry{Type: "MultiPolygon"}, Properties: properties{
			ev.ID, ev.Kind, string(ev.Run), string(ev.Head), string(ev.Product), ev.Start, ev.End, ev.Lost, ev.Metres, ev.AreaM2,
		}}
		f.Geometry.Coordinates = append(f.Geometry.Coordinates, s.Polygons...)
		fs = append(fs, f)
	}
	return jsondoc.Write(w, struct {
		Type     string    `json:"type"`
		Features []feature `json:"features"`
	}{"FeatureCollection", fs})
}
