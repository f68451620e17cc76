package cost

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"runproof/drill"
	"runproof/input"
	"runproof/input/jsondoc"
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

// Fits says whether the day can be one of the drill's: every event's run, head
// and product is one of its own. The error is an input.Fault.
func (day Day) Fits(d *drill.Drill) error {
	runs, heads, products := map[drill.RunID]bool{"": true}, map[drill.HeadID]bool{"": true}, map[drill.ProductID]bool{"": true}
	for _, r := range d.Runs() {
		runs[r.ID], heads[r.Head], products[r.Product] = true, true, true
	}
	for i := range day.Events {
		ev := &day.Events[i]
		what := ""
		switch {
		case !runs[ev.Run]:
			what = "run " + string(ev.Run)
		case !heads[ev.Head]:
			what = "head " + string(ev.Head)
		case !products[ev.Product]:
			what = "product " + string(ev.Product)
		default:
			continue
		}
		return input.Fault{
			Place: input.Place{File: day.Name + "/events.json"}, What: fmt.Sprintf("event %d speaks of %s, which the drill does not have", ev.ID, what),
			Remedy: "name the fit that this day was reviewed with",
		}
	}
	return nil
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

// ReadSkips reads skips.geojson. The error is an input.Fault with the place
// where reading stopped, or what r returned.
func ReadSkips(r io.Reader, name string) ([]Skip, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	var doc struct {
		Type     string
		Features []json.RawMessage
	}
	fault := func(at input.Place, what string, args ...any) error {
		return input.Fault{Place: at, What: fmt.Sprintf(what, args...), Remedy: "make one with runproof review"}
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		return nil, fault(jsondoc.Place(name, text, err), "no GeoJSON: %v", err)
	}
	if doc.Type != "FeatureCollection" {
		return nil, fault(input.Place{File: name}, "is %q, not a FeatureCollection", doc.Type)
	}
	var out []Skip
	from := 0
	for i, raw := range doc.Features {
		from += bytes.Index(text[from:], raw) // raw is a copy of what stands there
		s, err := readSkip(raw)
		if err != nil {
			return nil, fault(jsondoc.At(name, text, from), "feature %d: %v", i+1, err)
		}
		out = append(out, s)
		from += len(raw)
	}
	return out, nil
}

func readSkip(feature []byte) (Skip, error) {
	var f struct {
		Geometry struct {
			Type        string
			Coordinates json.RawMessage
		}
		Properties struct{ Event int }
	}
	if err := json.Unmarshal(feature, &f); err != nil {
		return Skip{}, err
	}
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
	if err != nil {
		return Skip{}, err
	}
	return s, s.sound()
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
