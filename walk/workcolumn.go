package walk

import (
	"math"

	"runproof/flowlog"
	"runproof/workstate"
)

// workColumn judges the recording's work column by its flow; nil where it has
// none. When the flow is still, what the ports count are taps: they are no flow
// that starts and stops.
func workColumn(log *flowlog.Log, still bool) *workstate.Agreement {
	col := log.Find(flowlog.Work)
	if col < 0 || len(log.TimeNS) == 0 {
		return nil
	}
	timeS, counts := make([]float64, len(log.TimeNS)), make([]float64, len(log.TimeNS))
	for i, ns := range log.TimeNS {
		timeS[i], counts[i] = float64(ns-log.TimeNS[0])/1e9, math.NaN()
	}
	ports := 0
	for k, c := range log.Columns {
		if c.Kind != flowlog.Port {
			continue
		}
		ports++
		for i, v := range log.Values[k] {
			if still {
				v *= 0 // not reported stays not reported
			}
			switch {
			case flowlog.IsMissing(v):
			case math.IsNaN(counts[i]):
				counts[i] = v
			default:
				counts[i] += v
			}
		}
	}
	a := workstate.Agree(timeS, log.Values[col], counts, ports)
	return &a
}
