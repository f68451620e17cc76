package review

// past is one frame as the detectors saw it, kept for a few minutes so that an
// onset can be found again once a fault is certain.
type past struct {
	fromNS, toNS int64
	durS         float64
	distM        float64   // in work, from the start of the log to the end of the frame
	calm         []bool    // by run: settled, reporting, in no event
	x            []float64 // by run: count, as if every sample had reported; 0 unless settled
	e            []float64 // by run: count expected of a sound run; 0 unless settled
	level        []float64 // by head: what its sensors would count in total; NaN = not known
	flow         []float64 // by product: flow against the usual; NaN = not known
	speedMPS     float64
	key          uint64 // which runs were called for
}

// history is a ring of the latest frames.
type history struct {
	ring []past
	next int
	size int
}

// historyFrames keeps about five minutes of half-second frames.
const historyFrames = 640

func newHistory(in *inputs) *history {
	h := &history{ring: make([]past, historyFrames)}
	for i := range h.ring {
		n := len(in.runs)
		h.ring[i] = past{
			calm: make([]bool, n), x: make([]float64, n), e: make([]float64, n),
			level: make([]float64, len(in.heads)), flow: make([]float64, len(in.products)),
		}
	}
	return h
}

// push gives the slot of the oldest frame, for the newest.
func (h *history) push() *past {
	p := &h.ring[h.next]
	h.next = (h.next + 1) % len(h.ring)
	h.size = min(h.size+1, len(h.ring))
	return p
}

// back is the frame k before the newest (0 = newest), nil beyond the ring.
func (h *history) back(k int) *past {
	if k >= h.size {
		return nil
	}
	return &h.ring[(h.next-1-k+2*len(h.ring))%len(h.ring)]
}

// distAt is the distance travelled in work up to time ns, as far back as the
// ring goes.
func (h *history) distAt(ns int64) float64 {
	d := 0.0
	for k := range h.size {
		p := h.back(k)
		d = p.distM
		if p.toNS <= ns {
			return p.distM
		}
		if p.fromNS <= ns {
			older := h.back(k + 1)
			if older == nil {
				return p.distM
			}
			part := float64(ns-p.fromNS) / float64(p.toNS-p.fromNS)
			return older.distM + part*(p.distM-older.distM)
		}
	}
	return d
}
