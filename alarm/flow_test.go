package alarm_test

import (
	"math"
	"math/rand/v2"

	"runproof/counts"
	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// flow makes counts by itself, without package simulate: heads of runs with
// shares, white noise, swirl and drift of the share, at a steady speed.
type flow struct {
	heads, runs int
	perSample   float64
	white       float64 // relative variance from sample to sample
	swirl, rho  float64
	drift       float64 // sd of an Ornstein-Uhlenbeck share, 120 s
	dtS         float64
	shares      []float64 // of one head, repeated; nil = equal
}

func (w flow) fit() *fit.Fit {
	d := drill.Drill{
		Runproof: drill.Version, Name: "even", Rows: drill.Rows{Count: w.heads * w.runs, SpacingM: 0.25, RanksM: []float64{0}},
		Products: []drill.Product{{ID: "seed"}}, Work: drill.Work{SpeedMPS: 2}, Sensing: drill.Sensing{Node: "n", Products: []drill.ProductID{"seed"}},
	}
	for h := range w.heads {
		head := drill.Head{ID: drill.HeadID(rune('A' + h)), Product: "seed"}
		for r := range w.runs {
			head.Rows = append(head.Rows, h*w.runs+r+1)
		}
		d.Heads = append(d.Heads, head)
	}
	return fitOf(&d)
}

// fitOf gives each head nodes of 12 ports until its runs are served.
func fitOf(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *d}
	for _, h := range d.Heads {
		for o := range h.Rows {
			if o%12 == 0 {
				f.Nodes = append(f.Nodes, fit.Node{Serial: string(h.ID) + string(rune('a'+o/12)), Ports: 12, Head: h.ID})
			}
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID(h.ID, o+1), Node: f.Nodes[len(f.Nodes)-1].Serial, Port: o%12 + 1})
		}
	}
	return f
}

// record makes n samples with a work column; the first five are lifted.
func (w flow) record(n int, seed uint64) *flowlog.Log {
	rng := rand.New(rand.NewPCG(seed, 17))
	f := w.fit()
	l := &flowlog.Log{}
	for _, m := range f.Map {
		l.Columns = append(l.Columns, flowlog.PortColumn(m.Ref()))
		l.Values = append(l.Values, make([]float64, n))
	}
	work := make([]float64, n)
	for i := range n {
		l.TimeNS = append(l.TimeNS, int64(math.Round(float64(i)*w.dtS*1e9)))
		if i >= 5 {
			work[i] = 1
		}
	}
	for c := range f.Map {
		w.run(l.Values[c], w.share(c%w.runs), rng)
	}
	l.Columns, l.Values = append(l.Columns, flowlog.ColumnNamed("work")), append(l.Values, work)
	return l
}

func (w flow) share(r int) float64 {
	if w.shares == nil {
		return 1
	}
	return w.shares[r]
}

func (w flow) run(x []float64, share float64, rng *rand.Rand) {
	keep := math.Exp(-w.dtS / 120)
	u, v := w.swirl*rng.NormFloat64(), w.drift*rng.NormFloat64()
	norm := (w.swirl*w.swirl + w.drift*w.drift) / 2
	for i := 5; i < len(x); i++ {
		u = w.rho*u + w.swirl*math.Sqrt(1-w.rho*w.rho)*rng.NormFloat64()
		v = keep*v + w.drift*math.Sqrt(1-keep*keep)*rng.NormFloat64()
		mu := w.perSample * share * math.Exp(u+v-norm)
		if w.white > 0 {
			x[i] = float64(counts.NegativeBinomial{Mu: mu, Theta: 1 / w.white}.Rand(rng))
		} else {
			x[i] = float64(counts.Poisson{Mu: mu}.Rand(rng))
		}
	}
}

// alarms counts the spells of d lows on a log against the rule, as a monitor
// would: the oracle of the tests, which knows nothing of laws.
func alarms(f *fit.Fit, l *flowlog.Log, floor float64, d int, shares map[drill.RunID]float64) int {
	b := flowlog.Bind(l.Schema, f)
	total := map[drill.HeadID][]float64{}
	for _, r := range b.Runs {
		if _, ok := shares[r.ID]; !ok {
			continue
		}
		if total[r.Head] == nil {
			total[r.Head] = make([]float64, l.Len())
		}
		for i, v := range l.Values[r.Column] {
			total[r.Head][i] += v
		}
	}
	rang := 0
	for _, r := range b.Runs {
		share, ok := shares[r.ID]
		if !ok {
			continue
		}
		in := 0
		for i, v := range l.Values[r.Column] {
			if l.Values[b.Work][i] == 1 && v < floor*share*total[r.Head][i]-1e-9 {
				if in++; in == d {
					rang++
				}
			} else {
				in = 0
			}
		}
	}
	return rang
}

// delay is the mean number of samples until d lows in a row when the run in
// column c loses all but left of its flow, from many starts along the log.
func delay(f *fit.Fit, l *flowlog.Log, floor float64, d, c int, left, share float64, rng *rand.Rand) float64 {
	b := flowlog.Bind(l.Schema, f)
	sum, starts := 0.0, 0
	for from := 10; from+1500 < l.Len(); from += 300 {
		in, took := 0, 1500
		for i := from; i < from+1500; i++ {
			total := 0.0
			for k, r := range b.Runs {
				if r.Head == b.Runs[c].Head && k != c {
					total += l.Values[r.Column][i]
				}
			}
			x := 0.0 // thinning a count leaves each particle with chance left
			for range int(l.Values[b.Runs[c].Column][i]) {
				if rng.Float64() < left {
					x++
				}
			}
			if x < floor*share*(total+x)-1e-9 {
				in++
			} else {
				in = 0
			}
			if in == d {
				took = i - from + 1
				break
			}
		}
		sum, starts = sum+float64(took), starts+1
	}
	return sum / float64(starts)
}
