package power

import (
	"fmt"
	"math"
	"strings"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
)

// judge is what the rules of this room say of a circuit.
type judge struct {
	*circuit
	states []state
	supply drill.Supply
	told   float64
	source float64
}

func (j judge) all() check.Results {
	var rs check.Results
	for _, s := range j.states {
		rs = append(rs, j.voltsAtBoxes(s))
	}
	for _, s := range j.states {
		if !s.Brief {
			rs = append(rs, j.drop(s))
		}
	}
	rs = append(rs, j.groundShift())
	rs = append(rs, j.unsaid()...)
	rs = append(rs, j.fuseCarries(), j.wireCarries(), j.connectorsCarry(), j.faultOpens(), j.heat(), j.outlet())
	return rs
}

// worstBox is the box whose figure is highest, -1 where nothing draws current.
func (j judge) worstBox(figure func(i int) float64) int {
	worst := -1
	for i, b := range j.boxes {
		if b.said && (worst < 0 || figure(i) > figure(worst)) {
			worst = i
		}
	}
	return worst
}

func (j judge) name(i int) string {
	if i < 0 {
		return ""
	}
	if j.boxes[i].gateway {
		return "gateway"
	}
	return "node " + j.boxes[i].id
}

func (j judge) voltsAtBoxes(s state) check.Result {
	r := check.Result{
		Rule: "volts at the boxes, " + s.Case.Case, Quantity: measure.Voltage, Bound: check.AtLeast,
		Value: math.NaN(), Limit: math.NaN(), Reserve: j.t.Limits.VoltsSpare,
		Source: fmt.Sprintf("least voltage of the part in the catalogue; supply %.2f V", s.supplyV),
		Advice: j.thicker(),
	}
	short := func(i int) float64 {
		if j.boxes[i].least == 0 {
			return math.Inf(-1)
		}
		return j.boxes[i].least - s.volts(i)
	}
	if i := j.worstBox(short); i >= 0 && j.boxes[i].least > 0 {
		r.Of, r.Value, r.Limit = j.name(i), s.volts(i), j.boxes[i].least
		if s.supplyV < r.Limit {
			r.Advice = "the supply itself is lower than the box needs, so no thicker leg helps: measure it under load, feed the harness from a point that holds up, at the battery, or take boxes that work at less"
		}
	}
	if len(s.asked.Volts) == 0 {
		r.Of = "all boxes on: no operating point, the voltage collapses"
	}
	if len(s.off) > 0 {
		off := make([]string, len(s.off))
		for k, i := range s.off {
			off[k] = j.name(i)
		}
		r.Of += fmt.Sprintf("; off: %s", strings.Join(off, ", "))
	}
	return r
}

// thicker says where copper would help most.
func (j judge) thicker() string {
	volts := j.states[0].asked.Volts // with all boxes on, where that can be
	if len(volts) == 0 {
		volts = j.states[0].now.Volts
	}
	worst, most := -1, 0.0
	for i := range j.legs {
		if d := volts[j.from[i]] - volts[i+1]; d > most {
			worst, most = i, d
		}
	}
	if worst < 0 {
		return "measure the supply under load at the power point"
	}
	l := j.legs[worst]
	return fmt.Sprintf("measure the supply under load at the power point; most is lost in leg %s, %s to %s (%.2f V): a thicker leg there, or a power point nearer to the boxes, helps most", l.ID, l.From, l.To, most)
}

func (j judge) drop(s state) check.Result {
	r := check.Result{
		Rule: "drop to the farthest box, " + s.Case.Case, Quantity: measure.Ratio, Value: math.NaN(),
		Limit: j.t.Limits.Drop, Reserve: j.t.Limits.Drop - j.t.Limits.DropWished,
		Source: "ABYC E-11 11.14.2.6 by secondary prints: 10 % at most, 3 % for electronics; in parts of the supply",
		Advice: j.thicker(),
	}
	lost := func(i int) float64 { return 1 - s.volts(i)/s.supplyV }
	if i := j.worstBox(lost); i >= 0 {
		r.Of, r.Value = j.name(i), lost(i)
	}
	return r
}

// groundShift judges how far the return of a node is from that of the gateway:
// half of what their loops differ by, for go and return are alike.
func (j judge) groundShift() check.Result {
	r := check.Result{
		Rule: "shift of the return between boxes", Quantity: measure.Voltage, Value: math.NaN(), Limit: j.t.Limits.GroundShiftV,
		Source: check.CommonPractice + "; receivers of ISO 11898-2 stand more", Advice: "thicker legs toward the far boxes",
	}
	for _, s := range j.states {
		lo := j.worstBox(func(i int) float64 { return -s.now.Volts[i+1] })
		hi := j.worstBox(func(i int) float64 { return s.now.Volts[i+1] })
		if lo < 0 || lo == hi {
			continue
		}
		if d := (s.now.Volts[hi+1] - s.now.Volts[lo+1]) / 2; !(d <= r.Value) {
			r.Value, r.Of = d, fmt.Sprintf("%s against %s, %s", j.name(lo), j.name(hi), s.Case.Case)
		}
	}
	return r
}

// unsaid names parts whose current is not in the catalogue: what they draw is
// missing from every figure.
func (j judge) unsaid() check.Results {
	var names []string
	for i, b := range j.boxes {
		if b.id != "" && !b.said {
			names = append(names, j.name(i))
		}
	}
	if len(names) == 0 {
		return nil
	}
	return check.Results{{
		Rule: "current of every box is known", Of: strings.Join(names, ", "), Quantity: measure.Current, Value: math.NaN(), Limit: math.NaN(),
		Source: "catalogue of parts", Advice: "write idle_a or watts of the part into parts.yaml: volts and fuse leave these boxes out",
	}}
}

func (j judge) fuseCarries() check.Result {
	need := j.continuousA(j.told) / j.t.Fuse.LoadFactor
	r := check.Result{
		Rule: "fuse above the lasting current", Quantity: measure.Current, Value: j.fuse.Amps, Bound: check.AtLeast, Limit: need * (1 - sameArea),
		Source: fmt.Sprintf("NEC 210.20(A): the lasting load at most %.0f %% of the rating", 100*j.t.Fuse.LoadFactor),
		Advice: "no fuse of the catalogue carries it: split the harness into two feeds, each with its own fuse, or add a larger fuse and wire for it",
	}
	if j.fuse.ID != "" {
		r.Of = j.fuse.String()
	}
	return r
}

// worstLeg is the leg whose figure is least.
func (j judge) worstLeg(figure func(fit.Leg) float64) int {
	worst := 0
	for i, l := range j.legs {
		if figure(l) < figure(j.legs[worst]) {
			worst = i
		}
	}
	return worst
}

func (j judge) legName(i int) string {
	return fmt.Sprintf("leg %s, %s to %s", j.legs[i].ID, j.legs[i].From, j.legs[i].To)
}

func (j judge) wireCarries() check.Result {
	i := j.worstLeg(j.ampacity)
	l := j.legs[i]
	return check.Result{
		Rule: "wire carries what its fuse lets through", Of: fmt.Sprintf("%s, %g mm²", j.legName(i), l.AreaMM2), Quantity: measure.Current,
		Value: j.ampacity(l), Bound: check.AtLeast, Limit: orNaN(j.fuse.Amps),
		Source: fmt.Sprintf("%s, insulation of %.0f °C in 50 °C air", j.t.Ampacity.Source, j.insulationC(l)),
		Advice: "a thicker leg, or a smaller fuse of its own where the thin part begins",
	}
}

func orNaN(v float64) float64 {
	if v == 0 {
		return math.NaN()
	}
	return v
}

func (j judge) connectorsCarry() check.Result {
	i := j.worstLeg(j.ratedA)
	return check.Result{
		Rule: "connectors carry what the fuse lets through", Of: j.legName(i), Quantity: measure.Current,
		Value: orNaN(finiteOr0(j.ratedA(j.legs[i]))), Bound: check.AtLeast, Limit: orNaN(j.fuse.Amps),
		Source: "rated_a of the legs in the catalogue", Advice: "legs with larger connectors, or a smaller fuse of its own for that part",
	}
}

func finiteOr0(v float64) float64 {
	if math.IsInf(v, 0) {
		return 0
	}
	return v
}

// ratedA is what the connectors of the leg may carry, A; +Inf where no piece
// says.
func (c *circuit) ratedA(l fit.Leg) float64 {
	least := math.Inf(1)
	for _, id := range l.Pieces {
		if p := c.parts[id]; p.RatedA > 0 {
			least = math.Min(least, p.RatedA)
		}
	}
	return least
}

func (j judge) faultOpens() check.Result {
	r := check.Result{
		Rule: "a short at the far end opens the fuse", Value: math.NaN(), Bound: check.AtLeast,
		Limit:  j.t.Fuse.MultipleFor(math.Inf(1)),
		Source: j.t.Fuse.Source + "; in times the rating: from 1.35 within 600 s, from 2 within 5 s, from 3.5 within 0.5 s",
		Advice: "thicker legs on the way there, or a second, smaller fuse where the far part begins",
	}
	r.Reserve = j.t.Fuse.MultipleFor(j.t.Fuse.WithinS) - r.Limit
	if j.fuse.Amps > 0 {
		f := j.fault(j.told, j.source)
		within := "nothing promised"
		if s := j.t.Fuse.OpensS(f.amps / j.fuse.Amps); s > 0 {
			within = fmt.Sprintf("open within %g s", s)
		}
		r.Of = fmt.Sprintf("short at %s, %.1f A, %s%s", f.at, f.amps, within, j.assumedSource())
		r.Value = f.amps / j.fuse.Amps
	}
	return r
}

func (j judge) assumedSource() string {
	if j.supply.Ohm > 0 {
		return ""
	}
	return fmt.Sprintf("; assumed: source %g Ω", j.source)
}

// heat judges the copper of each leg by what a short may leave in it until the
// fuse opens.
func (j judge) heat() check.Result {
	r := check.Result{
		Rule: "wire bears the heat of a short", Quantity: measure.WireArea, Value: math.NaN(), Limit: math.NaN(), Bound: check.AtLeast,
		Source: fmt.Sprintf("IEC 60364-4-43, I²t at most (kS)², k = %g from memory", j.t.Fuse.AdiabaticK), Advice: "a thicker leg",
	}
	if j.fuse.Amps == 0 {
		return r
	}
	f := j.fault(j.told, j.source)
	i := j.worstLeg(func(l fit.Leg) float64 { return l.AreaMM2 })
	r.Of, r.Value = j.legName(i), j.legs[i].AreaMM2
	r.Limit = j.leastAreaMM2(f)
	return r
}

func (j judge) outlet() check.Result {
	most := 0.0
	for _, s := range j.states {
		most = math.Max(most, j.supplyA(s))
	}
	return check.Result{
		Rule: "current from the power point", Quantity: measure.Current, Value: most, Limit: orNaN(j.supply.OutletA),
		Source: "supply.outlet_a of the drill's description", Advice: "ask what the outlet may give and write it into supply.outlet_a; other loads on the same outlet count too",
	}
}
