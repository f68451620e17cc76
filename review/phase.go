package review

import "slices"

// phase keeps how long product has been called for, or not. Runs that the same
// sections shut share a gate, and the time.
type phase struct {
	in    *inputs
	gates [][]int   // sections that shut each
	gate  []int     // of each run
	onS   []float64 // by gate: 0 while off
	offS  []float64 // by gate: 0 while on
	key   uint64    // which runs are called for
}

func newPhase(in *inputs) *phase {
	p := &phase{in: in, gate: make([]int, len(in.runs))}
	for i, r := range in.runs {
		p.gate[i] = indexOr(&p.gates, func(s []int) bool { return slices.Equal(s, r.sections) }, r.sections)
	}
	p.onS, p.offS = make([]float64, len(p.gates)), make([]float64, len(p.gates))
	return p
}

func (p *phase) step(f *frame) {
	changed := false
	for g, sections := range p.gates {
		on := f.calls(sections)
		changed = changed || on != (p.onS[g] > 0)
		if on {
			p.onS[g], p.offS[g] = p.onS[g]+f.durS, 0
		} else {
			p.onS[g], p.offS[g] = 0, p.offS[g]+f.durS
		}
	}
	if changed {
		p.newKey()
	}
}

// newKey makes another key of the runs that are called for.
func (p *phase) newKey() {
	p.key = 0
	for i := range p.gate {
		if p.on(i) > 0 {
			p.key = p.key*31 + uint64(i) + 1
		}
	}
}

// on is how long run i has been called for, seconds; 0 while it is not.
func (p *phase) on(i int) float64 { return p.onS[p.gate[i]] }

// off is how long it has not been.
func (p *phase) off(i int) float64 { return p.offS[p.gate[i]] }

// calledFor says whether the run shall sow in this frame.
func (in *inputs) calledFor(f *frame, i int) bool { return f.calls(in.runs[i].sections) }

// calls says whether a run shut by these sections shall sow: in the ground, and
// each of them is open.
func (f *frame) calls(sections []int) bool {
	if !f.work {
		return false
	}
	for _, s := range sections {
		if !f.open[s] {
			return false
		}
	}
	return true
}
