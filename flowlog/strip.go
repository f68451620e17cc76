package flowlog

// stripBins is the most stretches of time that a Strip keeps; when the log goes
// on, neighbours are joined.
const stripBins = 64

// Strip is a log's flow in broad strokes: time cut into equal bins, and for each
// line of a picture what was counted in each. It takes in a log of any length in
// the same memory.
type Strip struct {
	Lines []Line
	BinNS int64 // length of a bin; the first begins at the first sample
	Bins  []Bin
}

// Line is one line of the picture: columns taken together.
type Line struct {
	Name    string
	Columns []int
}

// Bin is a stretch of time.
type Bin struct {
	Samples int
	Sum     []float64 // of each line
	Cells   []int     // of each line, how many values the sum has
}

func newStrip(lines []Line) *Strip { return &Strip{Lines: lines, BinNS: 1e6} }

// Mean is the mean count of a line in a bin, for one port in one sample, or NaN
// when nothing was reported.
func (s *Strip) Mean(line, bin int) float64 {
	b := &s.Bins[bin]
	if b.Cells[line] == 0 {
		return Missing()
	}
	return b.Sum[line] / float64(b.Cells[line])
}

// bin is the bin of the time ns after the first sample.
func (s *Strip) bin(ns int64) *Bin {
	for ns/s.BinNS >= stripBins {
		s.join(2)
	}
	at := int(ns / s.BinNS)
	for len(s.Bins) <= at {
		s.Bins = append(s.Bins, Bin{Sum: make([]float64, len(s.Lines)), Cells: make([]int, len(s.Lines))})
	}
	return &s.Bins[at]
}

// join makes one bin of each k neighbours.
func (s *Strip) join(k int) {
	joined := s.Bins[:0]
	for i, b := range s.Bins {
		if i%k == 0 {
			joined = append(joined, b)
			continue
		}
		to := &joined[i/k]
		to.Samples += b.Samples
		for l := range b.Sum {
			to.Sum[l] += b.Sum[l]
			to.Cells[l] += b.Cells[l]
		}
	}
	s.Bins = joined
	s.BinNS *= int64(k)
}

// settle joins bins until one lasts at least two intervals, so that an empty
// bin is a gap and not the space between two samples.
func (s *Strip) settle(intervalNS int64) {
	if k := (2*intervalNS + s.BinNS - 1) / s.BinNS; k > 1 {
		s.join(int(min(k, stripBins)))
	}
}
