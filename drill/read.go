package drill

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"github.com/goccy/go-yaml"

	"runproof/input"
)

// Version is the document version this package reads and writes.
const Version = "drill/1"

// Read reads and checks a drill description; name is the file's name for
// messages. The error is input.Faults.
func Read(r io.Reader, name string) (*Drill, error) {
	at := input.Place{File: name}
	b, err := io.ReadAll(io.LimitReader(r, 1<<20))
	if err != nil {
		return nil, err
	}
	var v any
	if err := yaml.Unmarshal(b, &v); err != nil {
		return nil, input.Faults{{Place: at, What: err.Error()}}
	}
	j, err := json.Marshal(v)
	if err != nil {
		return nil, input.Faults{{Place: at, What: err.Error()}}
	}
	d := new(Drill)
	dec := json.NewDecoder(bytes.NewReader(j))
	dec.DisallowUnknownFields()
	if err := dec.Decode(d); err != nil {
		return nil, input.Faults{{Place: at, What: err.Error()}}
	}
	if d.Runproof != Version || d.Rows.Count < 1 || len(d.Heads) == 0 {
		return nil, input.Faults{{Place: at, What: fmt.Sprintf("not a %s description", Version)}}
	}
	return d, nil
}

// roundM rounds a place to millimetres, as a person would write it.
func roundM(m float64) float64 { return math.Round(m*1000) / 1000 }
