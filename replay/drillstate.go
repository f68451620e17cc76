package replay

import (
	"math"
	"slices"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/track"
)

// machine follows what the drill does from sample to sample: in the ground or
// not, which sections are open, how far it has travelled in work.
type machine struct {
	intervalS float64
	gapNS     int64
	speedMPS  float64 // when the log has neither speed nor position
	bind      *flowlog.Binding

	work    bool
	open    []bool // by section of the drill
	begun   bool
	lastNS  int64
	workS   float64
	distM   float64
	usual   float64 // flow of all runs a sample; for logs without a work column
	lat     float64
	lon     float64
	fixNS   int64
	fixMPS  float64
	samples int
}

func newMachine(f *fit.Fit, b *flowlog.Binding, intervalNS int64) *machine {
	m := &machine{
		intervalS: float64(intervalNS) / 1e9, gapNS: int64(flowlog.GapFactor * float64(intervalNS)), speedMPS: f.Drill.Work.SpeedMPS, bind: b,
		work: true, open: make([]bool, len(b.Sections)), lat: math.NaN(), fixMPS: math.NaN(),
	}
	for i := range m.open {
		m.open[i] = true
	}
	return m
}

// states are a batch's samples as the machine saw them.
type states struct {
	work  []bool
	gap   []bool    // samples were lost before this one
	open  [][]bool  // by section of the drill, then sample
	distM []float64 // travelled in work up to the sample
}

func (s *states) reset(sections, n int) {
	s.work, s.gap, s.distM = slices.Grow(s.work[:0], n)[:n], slices.Grow(s.gap[:0], n)[:n], slices.Grow(s.distM[:0], n)[:n]
	if s.open == nil {
		s.open = make([][]bool, sections)
	}
	for k := range s.open {
		s.open[k] = slices.Grow(s.open[k][:0], n)[:n]
	}
}

// step follows a batch; flow is what all runs counted in each sample.
func (m *machine) step(b *flowlog.Batch, flow []float64, s *states) {
	s.reset(len(m.open), b.Len())
	for i, t := range b.TimeNS {
		dt := m.intervalS
		s.gap[i] = m.begun && t-m.lastNS > m.gapNS
		if m.begun && !s.gap[i] {
			dt = float64(t-m.lastNS) / 1e9
		}
		m.ground(value(b, m.bind.Work, i), flow[i], dt)
		for k, sec := range m.bind.Sections {
			if v := value(b, sec.Column, i); !flowlog.IsMissing(v) {
				m.open[k] = v != 0
			}
			s.open[k][i] = m.open[k]
		}
		mps := m.travel(b, i, t)
		if m.work {
			m.workS, m.distM = m.workS+dt, m.distM+mps*dt
		}
		s.work[i], s.distM[i] = m.work, m.distM
		m.lastNS, m.begun = t, true
	}
	m.samples += b.Len()
}

// ground says whether the drill is in the ground: the work column, which holds
// until it says otherwise, or flow above 15 % of its mean of the last minute in
// work where the log has no such column.
func (m *machine) ground(work, flow, dt float64) {
	switch {
	case m.bind.Work == flowlog.None:
		m.work = flow > 0.15*m.usual
		if m.work {
			m.usual += (flow - m.usual) * min(1, dt/60)
		}
		if m.usual == 0 {
			m.usual = flow
		}
	case !flowlog.IsMissing(work):
		m.work = work != 0
	}
}

// travel is the speed [m/s]: the log's, else from successive positions at least
// 0.9 s apart (closer ones are mostly noise), else the drill's usual one.
func (m *machine) travel(b *flowlog.Batch, i int, t int64) float64 {
	if v := value(b, m.bind.Speed, i); !flowlog.IsMissing(v) {
		return v
	}
	lat, lon := value(b, m.bind.Lat, i), value(b, m.bind.Lon, i)
	if dt := float64(t-m.fixNS) / 1e9; !flowlog.IsMissing(lat+lon) && !(dt < 0.9 && !math.IsNaN(m.lat)) {
		if !math.IsNaN(m.lat) {
			m.fixMPS = math.NaN()
			if dt < 10 {
				north, east := track.At(m.lat, m.lon).ToLocal(lat, lon)
				m.fixMPS = math.Hypot(north, east) / dt
			}
		}
		m.lat, m.lon, m.fixNS = lat, lon, t
	}
	if math.IsNaN(m.fixMPS) {
		return m.speedMPS
	}
	return m.fixMPS
}

// value is a column's value, missing where the log has no such column.
func value(b *flowlog.Batch, c, i int) float64 {
	if c == flowlog.None {
		return flowlog.Missing()
	}
	return b.Values[c][i]
}

// watched is one run that rules can sound for.
type watched struct {
	drill.Run
	port     fit.PortRef
	column   int
	head     int
	sections []int // of the drill, that shut it off
}

// layout is which runs are watched, and which heads they are on.
type layout struct {
	runs  []watched
	heads []drill.HeadID
	none  []drill.RunID // runs of the fit whose port the log lacks
}

func layOut(f *fit.Fit, b *flowlog.Binding) layout {
	var l layout
	for _, r := range b.Runs {
		switch {
		case r.Closed:
			continue
		case r.Column == flowlog.None:
			l.none = append(l.none, r.ID)
			continue
		}
		h := slices.Index(l.heads, r.Head)
		if h < 0 {
			h, l.heads = len(l.heads), append(l.heads, r.Head)
		}
		l.runs = append(l.runs, watched{Run: r.Run, port: r.Port, column: r.Column, head: h})
	}
	for k, sec := range b.Sections {
		shut := f.Drill.SectionRuns(sec.Section)
		for i := range l.runs {
			if slices.Contains(shut, l.runs[i].ID) {
				l.runs[i].sections = append(l.runs[i].sections, k)
			}
		}
	}
	return l
}
