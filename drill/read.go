package drill

import (
	"io"
	"slices"

	"runproof/input/yamldoc"
)

// Version is the document version this package reads and writes.
const Version = "drill/1"

// What stands for keys that a description leaves out.
const (
	defaultSpeedMPS        = 2.2 // 8 km/h, a usual speed of air drills: common practice, no source
	defaultSensorFromHeadM = 0.4
	defaultVolts           = 12
)

// Read reads and checks a drill description; name is the file's name for
// messages. The error is input.Faults with every fault of the document, or
// what r returned.
func Read(r io.Reader, name string) (*Drill, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return nil, err
	}
	if err := doc.WantVersion(Version); err != nil {
		return nil, err
	}
	doc.Hint = hint
	d := &Drill{
		Rows:    Rows{RanksM: []float64{0}},
		Work:    Work{SpeedMPS: defaultSpeedMPS},
		Sensing: Sensing{SensorFromHeadM: defaultSensorFromHeadM},
		Supply:  Supply{Volts: defaultVolts},
	}
	doc.Decode(d)
	d.senseAll(doc)
	newChecker(doc, d).check()
	if err := doc.Err(); err != nil {
		return nil, err
	}
	return d, nil
}

// senseAll names the products to sense where the description does not: all
// that some head divides.
func (d *Drill) senseAll(doc *yamldoc.Document) {
	if doc.Has("sensing", "products") {
		return
	}
	for _, p := range d.Products {
		if slices.ContainsFunc(d.Heads, func(h Head) bool { return h.Product == p.ID }) {
			d.Sensing.Products = append(d.Sensing.Products, p.ID)
		}
	}
}
