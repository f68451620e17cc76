package parts

import (
	"fmt"
	"math"
)

// What a sensor takes: common practice, no source. Where the sensor is of
// another size than the hose, an adapter stands at each side of it; its far end
// is clamped into the hose.
const (
	clampsPerSensor  = 2
	adaptersPerRun   = 2
	clampsPerAdapter = 1
)

// hoses adds sensors, clamps and adapters by hose size.
func (b *kitBuilder) hoses(needs []HoseNeed) {
	for _, n := range needs {
		if n.MM == 0 {
			b.note("%d sensors go into hoses whose size is not said: measure, and write hose_mm at the heads", n.Sensors)
			continue
		}
		if p, ok := b.cat.ofHose(Sensor, n.MM); ok && n.SensorMM == 0 {
			b.line(p, n.Sensors, fmt.Sprintf("one for each sensed run of %g mm", n.MM))
			b.clamps(n.MM, clampsPerSensor*n.Sensors, "two for each sensor")
			continue
		}
		b.adapted(n)
	}
}

// adapted adds sensors of the nearest size to which there is an adapter.
func (b *kitBuilder) adapted(n HoseNeed) {
	sensor, adapter, ok := b.cat.adaptedSensor(n.MM, n.SensorMM)
	if !ok {
		b.note("the catalogue has no sensor for %g mm hose, and none of another size with an adapter: %d are needed", n.MM, n.Sensors)
		return
	}
	b.line(sensor, n.Sensors, fmt.Sprintf("one for each sensed run of %g mm, with adapters", n.MM))
	b.line(adapter, adaptersPerRun*n.Sensors, fmt.Sprintf("two for each sensed run of %g mm", n.MM))
	b.clamps(sensor.HoseMM, clampsPerSensor*n.Sensors, "two for each sensor")
	b.clamps(n.MM, clampsPerAdapter*adaptersPerRun*n.Sensors, "one for each adapter")
}

func (b *kitBuilder) clamps(mm float64, count int, why string) {
	p, ok := b.cat.ofHose(Clamp, mm)
	if !ok {
		b.note("the catalogue has no clamp for %g mm hose: %d are needed", mm, count)
		return
	}
	b.line(p, count, why)
}

// ofHose is the first part of a kind for hoses of that inside diameter.
func (c Catalogue) ofHose(k Kind, mm float64) (Part, bool) {
	for _, p := range c.Of(k) {
		if p.HoseMM == mm {
			return p, true
		}
	}
	return Part{}, false
}

// adaptedSensor is the sensor of the nearest size that one adapter joins to
// hoses of that inside diameter, the wider of two equally near; of the size
// wanted, where one is.
func (c Catalogue) adaptedSensor(mm, sensorMM float64) (sensor, adapter Part, ok bool) {
	for _, a := range c.Of(Adapter) {
		to, joins := a.joins(mm)
		if !joins || sensorMM > 0 && to != sensorMM {
			continue
		}
		p, has := c.ofHose(Sensor, to)
		nearer := math.Abs(to-mm) < math.Abs(sensor.HoseMM-mm) || math.Abs(to-mm) == math.Abs(sensor.HoseMM-mm) && to > sensor.HoseMM
		if has && (!ok || nearer) {
			sensor, adapter, ok = p, a, true
		}
	}
	return sensor, adapter, ok
}

// joins is the other end of an adapter one end of which is mm wide: it goes in
// either way round.
func (p Part) joins(mm float64) (other float64, ok bool) {
	switch mm {
	case p.HoseMM:
		return p.ToMM, true
	case p.ToMM:
		return p.HoseMM, true
	}
	return 0, false
}
