package review

import (
	"math"

	"runproof/drill"
)

// Picture is the day as runs by time: each run's share against its usual one.
type Picture struct {
	StartNS int64
	CellS   float64 // seconds of log time in a cell
	Runs    []drill.RunID
	Cells   [][]Cell // by run, then time
}

// Cell is one run over one stretch of time.
type Cell struct {
	Level float64 // share against the usual share; NaN = nothing to judge
	Work  float64 // part of the stretch in which the run was called for
	Gone  float64 // part of the samples not reported
}

// maxCells bounds the picture: when the day outgrows it, cells are joined in
// pairs.
const maxCells = 720

type cellSum struct{ x, e, workS, durS, samples, missing float64 }

type picture struct {
	in     *inputs
	k      *learned
	first  int64
	begun  bool
	cellNS int64
	cells  [][]cellSum
	open   int // the cell that the frame before fell into
}

func newPicture(in *inputs, k *learned) *picture {
	p := &picture{in: in, k: k, cellNS: 2e9, cells: make([][]cellSum, len(in.runs))}
	for i := range p.cells {
		p.cells[i] = make([]cellSum, 0, maxCells)
	}
	return p
}

// turn goes to the frame's cell; sums gathered for the one before are settled
// first.
func (p *picture) turn(f *frame, settle func()) {
	if !p.begun {
		p.first, p.begun = f.fromNS, true
	}
	c := int((f.toNS - 1 - p.first) / p.cellNS)
	if c == p.open && len(p.cells[0]) > c {
		return
	}
	settle()
	for c >= maxCells {
		p.halve()
		c = int((f.toNS - 1 - p.first) / p.cellNS)
	}
	p.open = c
	for i := range p.cells {
		p.cells[i] = append(p.cells[i], make([]cellSum, max(0, c+1-len(p.cells[i])))...)
	}
}

func (p *picture) add(f *frame, d *detector) {
	c := p.open
	for _, i := range f.short {
		p.cells[i][c].missing += float64(f.lost[i])
	}
	for _, i := range d.slow {
		s := &p.cells[i][c]
		s.durS += f.durS
		s.samples += float64(f.samples)
		if d.phase.on(i) > 0 {
			s.workS += f.durS
		}
		if d.ok[i] {
			// against what the run's share was at the start, so that drift shows
			if l := d.now.level[d.in.runs[i].head]; l > 0 {
				s.x, s.e = s.x+d.now.x[i], s.e+p.k.share[i]*l
			}
		}
	}
}

func (p *picture) halve() {
	p.cellNS *= 2
	for i, row := range p.cells {
		half := row[:0]
		for j := 0; j < len(row); j += 2 {
			s := row[j]
			if j+1 < len(row) {
				t := row[j+1]
				s = cellSum{s.x + t.x, s.e + t.e, s.workS + t.workS, s.durS + t.durS, s.samples + t.samples, s.missing + t.missing}
			}
			half = append(half, s)
		}
		p.cells[i] = half
	}
}

func (p *picture) result() Picture {
	out := Picture{StartNS: p.first, CellS: float64(p.cellNS) / 1e9}
	for i, row := range p.cells {
		out.Runs = append(out.Runs, p.in.runs[i].ID)
		cells := make([]Cell, len(row))
		for j, s := range row {
			cells[j] = Cell{Level: math.NaN()}
			if s.e > 0 {
				cells[j].Level = s.x / s.e
			}
			if s.durS > 0 {
				cells[j].Work = s.workS / s.durS
			}
			if s.samples > 0 {
				cells[j].Gone = s.missing / s.samples
			}
		}
		out.Cells = append(out.Cells, cells)
	}
	return out
}
