package fit

import "runproof/drill"

// SensorLagS is how long product is under way from the meter to the sensors in a
// head's hoses, as reckoned, s: to the head, and the part of the way to the row
// that lies before the sensor. It is zero where nothing is reckoned.
func (f *Fit) SensorLagS(head drill.HeadID) Span {
	for _, a := range f.Air.Heads {
		if a.Head == head {
			return a.sensorLagS(f.Drill.Sensing.SensorFromHeadM)
		}
	}
	return Span{}
}

func (a *HeadAir) sensorLagS(fromHeadM float64) Span {
	h, r := a.ToHead.Seconds, a.ToRow.Seconds
	if !(a.Hose.LengthM > 0) || !(r.Likely > h.Likely) {
		return h
	}
	part := min(1, fromHeadM/a.Hose.LengthM)
	return Span{h.Low + part*(r.Low-h.Low), h.Likely + part*(r.Likely-h.Likely), h.High + part*(r.High-h.High)}
}
