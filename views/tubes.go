package views

import (
	"runproof/drawing"
	"runproof/drill"
)

// tubePen is the pen of a tube from a node to a sensor.
func tubePen() drawing.Pen { return drawing.Pen{Ink: drawing.Accent, WidthMM: 0.28} }

const sensorMM = 0.5 // radius of a sensor's disc

// tubes draws each node's tubes to the sensors that its ports listen to, and
// the sensors on their hoses.
func (p *plan) tubes() {
	nodes := make(map[string]drill.Point, len(p.f.Nodes))
	for _, n := range p.f.Nodes {
		if h, ok := p.d.Head(n.Head); ok {
			nodes[n.Serial] = h.At
		}
	}
	runs := make(map[drill.RunID]drill.Run)
	for _, r := range p.d.Runs() {
		runs[r.ID] = r
	}
	var lines [][]drawing.Point
	var sensors []drawing.Point
	for _, l := range p.f.Map {
		r, known := runs[l.Run]
		from, placed := nodes[l.Node]
		if h, ok := p.d.Head(r.Head); known && placed && ok {
			at := p.at(p.sensorAt(h, r.Row))
			lines = append(lines, []drawing.Point{p.at(from), at})
			sensors = append(sensors, at)
		}
	}
	p.Polylines(lines, tubePen())
	for _, at := range sensors {
		p.Circle(at, min(sensorMM, p.pitch()*0.3), drawing.Hair.Of(drawing.Accent), drawing.Ground)
	}
}

// sensorAt is the place of the sensor of a run: as far along the straight hose
// as sensors are to sit from the head, no farther than the opener.
func (p *plan) sensorAt(h drill.Head, row int) drill.Point {
	inlet := p.d.RowAt(row)
	inlet.Up = drill.InletUpM
	if reach := p.d.ReachM(h, row); reach > p.d.Sensing.SensorFromHeadM {
		return between(h.At, inlet, p.d.Sensing.SensorFromHeadM/reach)
	}
	return inlet
}
