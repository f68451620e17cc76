package evenness

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
)

// world is a drill whose outlets and sensors are known.
type world struct {
	f     *fit.Fit
	part  []float64 // of each run, 1 on average in law
	gain  []float64 // counts per particle
	perS  float64   // particles a second through an average run
	weigh float64   // scatter of a repeat and of weighing, as a part
	gusts float64   // gamma wavering of each sample: variance = mu + gusts mu^2
	rng   *rand.Rand
}

const tkwG = 40

// newWorld has heads of 12 outlets; outlets differ by cv, sensors by a quarter.
func newWorld(seed uint64, heads int, cv float64) *world {
	w := &world{f: madeFit(heads), perS: 60, weigh: 0.01, rng: rand.New(rand.NewPCG(seed, 99))}
	for range w.f.Drill.Runs() {
		w.part = append(w.part, math.Max(0.01, 1+cv*w.rng.NormFloat64()))
		w.gain = append(w.gain, math.Exp(0.25*w.rng.NormFloat64()))
	}
	return w
}

func madeFit(heads int) *fit.Fit {
	d, _, _ := threeHeads(12)
	d.Name = "made"
	d.Heads = d.Heads[:heads]
	d.Rows.Count = 12 * heads
	d.Products = []drill.Product{{ID: "seed", Material: "wheat", RateKgHa: 100, TKWG: tkwG}}
	d.Sensing.Products = []drill.ProductID{"seed"}
	d.Runproof, d.Work.SpeedMPS, d.Supply.Volts, d.Rows.RanksM = drill.Version, 2.2, 12, []float64{0}
	d.Sensing.Node, d.Sensing.SensorFromHeadM = "node-16", 0.4
	f := &fit.Fit{Runproof: fit.Version, Revision: 1}
	for i := range d.Heads {
		d.Heads[i].Product = "seed"
		f.Nodes = append(f.Nodes, fit.Node{Serial: "41" + string(rune('0'+i)), Ports: 14, Head: d.Heads[i].ID})
		for o := range d.Heads[i].Rows {
			f.Map = append(f.Map, fit.Link{Run: drill.NewRunID(d.Heads[i].ID, o+1), Node: f.Nodes[i].Serial, Port: o + 1})
		}
	}
	f.Drill = *d
	return f
}

func (w *world) poisson(mu float64) float64 {
	if mu <= 0 {
		return 0
	}
	if w.gusts > 0 {
		mu *= distuv.Gamma{Alpha: 1 / w.gusts, Beta: 1 / w.gusts, Src: w.rng}.Rand()
	}
	return distuv.Poisson{Lambda: mu, Src: w.rng}.Rand()
}

func (w *world) empty() *flowlog.Log {
	l := &flowlog.Log{Schema: flowlog.Schema{Clock: flowlog.Seconds}}
	for _, link := range w.f.Map {
		l.Columns = append(l.Columns, flowlog.PortColumn(link.Ref()))
	}
	l.Columns = append(l.Columns, flowlog.Column{Kind: flowlog.Work, Name: "work"})
	l.Reset(len(l.Columns))
	return l
}

// record adds so many seconds at one sample a second; flow 1 is the usual rate.
// It returns the particles that passed each run.
func (w *world) record(l *flowlog.Log, seconds int, flow, work float64) []float64 {
	passed := make([]float64, len(w.part))
	t := int64(0)
	if n := l.Len(); n > 0 {
		t = l.TimeNS[n-1]
	}
	for range seconds {
		t += 1e9
		l.TimeNS = append(l.TimeNS, t)
		for i, p := range w.part {
			mu := flow * w.perS * p
			passed[i] += mu
			l.Values[i] = append(l.Values[i], w.poisson(mu*w.gain[i]))
		}
		l.Values[len(w.part)] = append(l.Values[len(w.part)], work)
	}
	return passed
}

// catch makes the bags of so many repeats and the recording of them.
func (w *world) catch(repeats, seconds int) (Bags, *flowlog.Log) {
	l := w.empty()
	w.record(l, 15, 0, 1)
	var b Bags
	for r := range repeats {
		passed := w.record(l, seconds, 1+0.1*float64(r), 1)
		w.record(l, 15, 0, 1)
		for i, run := range w.f.Drill.Runs() {
			g := passed[i] * tkwG / 1000 * (1 + w.weigh*w.rng.NormFloat64())
			b.Bags = append(b.Bags, Bag{Run: run.ID, Repeat: r + 1, Grams: math.Round(g*10) / 10})
		}
	}
	return b, l
}

// gains are those of a catch of three repeats of a minute.
func (w *world) gains() (*Catch, *Gains, error) {
	b, l := w.catch(3, 60)
	c, err := Judge(&w.f.Drill, b, Options{Day: "2026-04-20"})
	if err != nil {
		return nil, nil, err
	}
	g, err := Calibrate(w.f, c, []*flowlog.Log{l})
	return c, g, err
}

// day is a field log of passes with lifted turns between them.
func (w *world) day(passes, seconds int) *flowlog.Log {
	l := w.empty()
	for range passes {
		w.record(l, seconds, 1, 1)
		w.record(l, 8, 0, 0)
	}
	return l
}
