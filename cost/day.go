package cost

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"runproof/input"
	"runproof/review"
)

// Day is what a review wrote of one recording.
type Day struct {
	Name   string // as shown; may be empty where there is one
	Events []review.Event
	Skips  []Skip
}

// Skip is the ground of one event.
type Skip struct {
	Event    int
	Polygons [][]Ring // the first ring of each is the outer one, the rest are holes
}

// Ring is longitude and latitude of its corners, degrees; the last is the
// first.
type Ring [][2]float64

// ReadDay reads events.json and skips.geojson in a folder that runproof review
// wrote; name is the folder's name. The error is an input.Fault.
func ReadDay(folder fs.FS, name string) (Day, error) {
	day := Day{Name: name}
	err := inFolder(folder, name, "events.json", func(r io.Reader, file string) error {
		doc, err := review.ReadDocument(r, file)
		if err == nil {
			day.Events = doc.Events
		}
		return err
	})
	if err != nil {
		return Day{}, err
	}
	err = inFolder(folder, name, "skips.geojson", func(r io.Reader, file string) (err error) {
		day.Skips, err = ReadSkips(r, file)
		return err
	})
	return day, err
}

func inFolder(folder fs.FS, name, file string, fn func(io.Reader, string) error) error {
	whole := name + "/" + file
	f, err := folder.Open(file)
	if err != nil {
		var pe *fs.PathError
		if errors.As(err, &pe) {
			err = pe.Err
		}
		return input.Fault{Place: input.Place{File: whole}, What: err.Error(), Remedy: "name the folder that runproof review wrote"}
	}
	defer f.Close()
	return fn(f, whole)
}

// ReadSkips reads skips.geojson. The error is an input.Fault.
func ReadSkips(r io.Reader, name string) ([]Skip, error) {
	var doc struct {
		Type     string
		Features []struct {
			Geometry struct {
				Type        string
				Coordinates json.RawMessage
			}
			Properties struct{ Event int }
		}
	}
	fault := func(what string, args ...any) error {
		return input.Fault{Place: input.Place{File: name}, What: fmt.Sprintf(what, args...), Remedy: "make one with runproof review"}
	}
	if err := json.NewDecoder(r).Decode(&doc); err != nil {
		return nil, fault("no GeoJSON: %v", err)
	}
	if doc.Type != "FeatureCollection" {
		return nil, fault("is %q, not a FeatureCollection", doc.Type)
	}
	var out []Skip
	for i, f := range doc.Features {
		s := Skip{Event: f.Properties.Event}
		var err error
		switch f.Geometry.Type {
		case "MultiPolygon":
			err = json.Unmarshal(f.Geometry.Coordinates, &s.Polygons)
		case "Polygon":
			s.Polygons = make([][]Ring, 1)
			err = json.Unmarshal(f.Geometry.Coordinates, &s.Polygons[0])
		default:
			err = fmt.Errorf("%q is no area", f.Geometry.Type)
		}
		if err == nil {
			err = s.sound()
		}
		if err != nil {
			return nil, fault("feature %d: %v", i+1, err)
		}
		out = append(out, s)
	}
	return out, nil
}

func (s Skip) sound() error {
	for _, p := range s.Polygons {
		for _, ring := range p {
			for _, c := range ring {
				if !(c[0] >= -360 && c[0] <= 360 && c[1] >= -90 && c[1] <= 90) {
					return fmt.Errorf("%v is no longitude and latitude", c)
				}
			}
		}
	}
	return nil
}
