package walk

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/flowlog"
	"runproof/input"
	"runproof/measure"
)

// fallS is by how much the middle of a hose's running dry comes after the
// hand has closed: half of about 0.7 s. The offset counts from the hand.
const fallS = 0.35

// takeMarks puts the marks on the grid's axis, in order of time.
func (p *prover) takeMarks(m *Marks, clock flowlog.Clock) error {
	at := input.Place{File: m.File}
	if len(m.Marks) == 0 {
		return input.Fault{Place: at, What: "there is no mark in it", Remedy: "leave --marks out if the walk went in plan order"}
	}
	at.Line = m.Marks[0].Line
	if m.Clock != clock {
		return input.Fault{Place: at, What: fmt.Sprintf("the marks have their times in %s, the recording in %s", formOf(m.Clock), formOf(clock)), Remedy: "write both in RFC 3339, or both in decimal seconds of nearly the same clock"}
	}
	index := map[string]int{}
	for i, r := range p.runs {
		index[string(r.ID)] = i
	}
	for _, k := range m.Marks {
		run, ok := index[string(k.Run)]
		if !ok {
			return input.Fault{Place: input.Place{File: m.File, Line: k.Line}, What: fmt.Sprintf("the fit senses no run %q", k.Run), Remedy: "use the ids of the fit"}
		}
		p.marks = append(p.marks, mark{run: run, atS: p.g.seconds(k.TimeNS)})
	}
	slices.SortStableFunc(p.marks, func(a, b mark) int { return cmp.Compare(a.atS, b.atS) })
	p.marks = slices.CompactFunc(p.marks, func(a, b mark) bool { return a.run == b.run && b.atS-a.atS < twicePressedS })
	return p.meet(m, at)
}

// twicePressedS is the time within which two marks of a run are one.
const twicePressedS = 3.0

func formOf(c flowlog.Clock) string {
	if c == flowlog.UTC {
		return "RFC 3339"
	}
	return "decimal seconds"
}

// meet fails when no allowed clock offset brings any mark into the recording.
func (p *prover) meet(m *Marks, at input.Place) error {
	first, last := p.marks[0].atS, p.marks[len(p.marks)-1].atS
	if last >= -largestOffsetS && first <= p.g.spanS()+largestOffsetS {
		return nil
	}
	away := -last
	if first > 0 {
		away = first - p.g.spanS()
	}
	return input.Fault{Place: at, What: fmt.Sprintf("the marks run from %s to %s, the recording from %s to %s: %.0f s apart, and clocks may differ by %g s at most", m.Clock.Format(p.g.ns(first)), m.Clock.Format(p.g.ns(last)),
		m.Clock.Format(p.g.ns(0)), m.Clock.Format(p.g.ns(p.g.spanS())), away, largestOffsetS), Remedy: "check the day, the time zone, and that the two files are of one walk"}
}

// clock writes into the proof what is known of the clock offset.
func (p *prover) clock(proof *Proof, bs []belief, peaks []offsetPeak) {
	d := p.differences(bs)
	proof.Clock = &Clock{}
	if len(peaks) > 1 {
		r := measure.Round(p.atHand(peaks[1].offsetS), 3)
		proof.Clock.RunnerUpS = &r
	}
	proof.Clock.RunnerUpOdds = measure.Round(1-odds(peaks, 0), 6)
	if len(d) == 0 {
		proof.Notes = append(proof.Notes, "No mark has a clear reaction near it, so the clock offset is not known.")
		return
	}
	mean, sd := middle(d)
	o := measure.Round(p.atHand(peaks[0].offsetS+mean), 3)
	proof.ClockOffsetS = &o
	proof.Clock.ScatterS = measure.Round(sd, 3)
	proof.Clock.StandardErrorS = measure.Round(sd/math.Sqrt(float64(len(d))), 3)
}

// atHand turns an offset to the start of boxes into one to the hand's closing.
// A box can only start on a step, on average half a step before its reaction.
func (p *prover) atHand(offsetS float64) float64 {
	offsetS += p.tr.stepS / 2
	if !p.full.tap {
		offsetS -= fallS
	}
	return offsetS
}

// differences are, for each mark with a clear reaction, by how much the
// reaction comes after the mark, the offset taken off.
func (p *prover) differences(bs []belief) []float64 {
	var d []float64
	for _, b := range bs {
		col, prob := b.best()
		if prob < 0.9 || b.nats[col] < clearEnough {
			continue
		}
		for _, at := range b.atS {
			d = append(d, float64(p.start(col, at))*p.tr.stepS-at)
		}
	}
	return d
}

// middle is the mean and standard deviation of what lies within a mark's error
// of the median.
func middle(d []float64) (mean, sd float64) {
	mid := quantile(slices.Clone(d), 0.5)
	var near []float64
	for _, v := range d {
		if math.Abs(v-mid) <= 1.5*markErrorS {
			near = append(near, v)
		}
	}
	for _, v := range near {
		mean += v / float64(len(near))
	}
	for _, v := range near {
		sd += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(sd / math.Max(1, float64(len(near)-1)))
}
