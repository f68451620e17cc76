package review

// phase keeps, for each run, how long product has been called for, or not.
type phase struct {
	in   *inputs
	onS  []float64 // 0 while off
	offS []float64 // 0 while on
}

func newPhase(in *inputs) *phase {
	return &phase{in: in, onS: make([]float64, len(in.runs)), offS: make([]float64, len(in.runs))}
}

func (p *phase) step(f *frame) {
	for i := range p.in.runs {
		if p.in.calledFor(f, i) {
			p.onS[i], p.offS[i] = p.onS[i]+f.durS, 0
		} else {
			p.onS[i], p.offS[i] = 0, p.offS[i]+f.durS
		}
	}
}

// calledFor says whether the run shall sow in this frame: in the ground, and
// every section that can shut it is open.
func (in *inputs) calledFor(f *frame, i int) bool {
	if !f.work {
		return false
	}
	for _, s := range in.runs[i].sections {
		if !f.open[s] {
			return false
		}
	}
	return true
}
