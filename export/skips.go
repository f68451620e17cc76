package export

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"runproof/input"
)

// readSkips reads skips.geojson. Ground is made sound as it comes.
func (d *Day) readSkips(src io.Reader, file string) error {
	fault := func(format string, args ...any) error {
		return input.Fault{Place: input.Place{File: file}, What: fmt.Sprintf(format, args...), Remedy: "take all files of the folder from one run of runproof review"}
	}
	var doc struct {
		Type     string
		Features []struct {
			Geometry *struct {
				Type        string
				Coordinates json.RawMessage
			}
			Properties struct{ Event int }
		}
	}
	if err := json.NewDecoder(src).Decode(&doc); err != nil {
		return fault("is no GeoJSON: %v", err)
	}
	if doc.Type != "FeatureCollection" {
		return fault("is a GeoJSON %.40q, not a FeatureCollection", doc.Type)
	}
	seen := map[int]bool{}
	for i, f := range doc.Features {
		ev, ok := d.event(f.Properties.Event)
		switch {
		case !ok:
			return fault("feature %d is of event %d, which events.json does not have", i+1, f.Properties.Event)
		case seen[ev.ID]:
			return fault("event %d has two features", ev.ID)
		case f.Geometry == nil:
			continue
		}
		seen[ev.ID] = true
		polygons, err := coordinates(f.Geometry.Type, f.Geometry.Coordinates)
		if err != nil {
			return fault("feature %d: %v", i+1, err)
		}
		ground, crossed := Sound(polygons)
		if crossed {
			d.Notes = append(d.Notes, fmt.Sprintf("ground of event %d crosses itself and is handed on as it is", ev.ID))
		}
		if len(ground) > 0 {
			d.Short = append(d.Short, Skip{Event: ev, Start: start(polygons[0][0]), Ground: ground})
		}
	}
	return nil
}

// coordinates reads polygons and checks that each position is on the Earth.
func coordinates(kind string, raw json.RawMessage) ([]Polygon, error) {
	var polygons []Polygon
	var err error
	switch kind {
	case "Polygon":
		polygons = make([]Polygon, 1)
		err = json.Unmarshal(raw, &polygons[0])
	case "MultiPolygon":
		err = json.Unmarshal(raw, &polygons)
	default:
		return nil, fmt.Errorf("it is a %.40q, not a Polygon or MultiPolygon", kind)
	}
	if err != nil {
		return nil, fmt.Errorf("its coordinates are no %s: %w", kind, err)
	}
	for _, p := range polygons {
		if len(p) == 0 {
			return nil, fmt.Errorf("it has a polygon without a ring")
		}
		for _, r := range p {
			for _, at := range r {
				if !(math.Abs(at[0]) <= 360 && math.Abs(at[1]) <= 90) {
					return nil, fmt.Errorf("longitude %g, latitude %g is no place on the Earth", at[0], at[1])
				}
			}
		}
	}
	if len(polygons) == 0 || len(polygons[0][0]) == 0 {
		return nil, fmt.Errorf("it has no position")
	}
	return polygons, nil
}

// start is where a strip of the review begins: the middle between the first
// places of its right and its left edge. A ring goes forward along the right edge
// and back along the left one, so that these are its first and its last.
func start(r Ring) Position {
	first := r[0]
	if len(r) < 5 || len(r)%2 == 0 {
		return Position{wrap(first[0]), first[1]}
	}
	last := r[len(r)-2]
	return Position{wrap((first[0] + near(last[0], first[0])) / 2), (first[1] + last[1]) / 2}
}

// wrap brings a longitude to -180..180.
func wrap(lon float64) float64 {
	if math.Abs(lon) <= 180 {
		return lon
	}
	return math.Remainder(lon, 360)
}
