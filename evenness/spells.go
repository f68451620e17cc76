package evenness

import (
	"cmp"
	"math"
	"slices"

	"runproof/fit"
	"runproof/flowlog"
)

// spell is one stretch of flow in a recording, samples from..to (not included).
type spell struct {
	from, to int
	seconds  float64
	total    float64 // counts of all ports
}

// What parts flow from standstill: common practice, no source.
const (
	flowPart  = 0.15 // of the usual flow: less is standstill
	joinS     = 3.0  // a shorter pause belongs to the flow around it
	leadS     = 2.0  // counts so long before and after the flow are its first and last particles
	shortPart = 0.2  // of the usual spell's particles: less is a nudge of the meter, not a repeat
)

// spells finds the stretches of flow in the counts of the columns together.
func spells(l *flowlog.Log, columns []int) []spell {
	n := l.Len()
	if n < 3 {
		return nil
	}
	rate := make([]float64, n)
	for i := 1; i < n; i++ {
		for _, c := range columns {
			if v := l.Values[c][i]; v == v {
				rate[i] += v
			}
		}
		rate[i] /= secondsBetween(l, i-1, i)
	}
	rate = smoothed(l, rate)
	flowing := slices.DeleteFunc(slices.Clone(rate), func(v float64) bool { return v <= 0 })
	if len(flowing) == 0 {
		return nil
	}
	slices.Sort(flowing)
	least := flowPart * flowing[len(flowing)*9/10]
	var out []spell
	for i := 1; i < n; i++ {
		if rate[i] < least {
			continue
		}
		if k := len(out) - 1; k >= 0 && secondsBetween(l, out[k].to-1, i) <= joinS {
			out[k].to = i + 1
		} else {
			out = append(out, spell{from: i, to: i + 1})
		}
	}
	return withoutNudges(widened(l, out, columns))
}

// smoothed is the mean rate over about a second around each sample: at five
// samples a second a thin product leaves some empty.
func smoothed(l *flowlog.Log, rate []float64) []float64 {
	out := make([]float64, len(rate))
	from, to, sum := 1, 1, 0.0
	for i := 1; i < len(rate); i++ {
		for to < len(rate) && secondsBetween(l, i, to) <= 0.5 {
			sum += rate[to]
			to++
		}
		for from < i && secondsBetween(l, from, i) > 0.5 {
			sum -= rate[from]
			from++
		}
		out[i] = sum / float64(to-from)
	}
	return out
}

func secondsBetween(l *flowlog.Log, from, to int) float64 {
	return float64(l.TimeNS[to]-l.TimeNS[from]) / 1e9
}

// widened takes first and last particles in, no further than half-way to the
// next spell, and sums up.
func widened(l *flowlog.Log, in []spell, columns []int) []spell {
	out := slices.Clone(in)
	for k := range out {
		s := &out[k]
		least, most := 1, l.Len()
		if k > 0 {
			least = (in[k-1].to + in[k].from + 1) / 2
		}
		if k+1 < len(in) {
			most = (in[k].to + in[k+1].from + 1) / 2
		}
		for s.from > least && secondsBetween(l, s.from-1, in[k].from) <= leadS {
			s.from--
		}
		for s.to < most && secondsBetween(l, in[k].to-1, s.to) <= leadS {
			s.to++
		}
		s.seconds = secondsBetween(l, in[k].from-1, in[k].to-1)
		for _, c := range columns {
			for _, v := range l.Values[c][s.from:s.to] {
				if v == v {
					s.total += v
				}
			}
		}
	}
	return out
}

func withoutNudges(in []spell) []spell {
	if len(in) == 0 {
		return nil
	}
	sorted := slices.SortedFunc(slices.Values(in), func(a, b spell) int { return cmp.Compare(a.total, b.total) })
	usual := sorted[len(sorted)/2].total
	return slices.DeleteFunc(slices.Clone(in), func(s spell) bool { return s.total < shortPart*usual })
}

// counted is what a port counted in a spell, less what it counts without flow;
// NaN where part of it was not reported.
func (s spell) counted(l *flowlog.Log, column int, noiseHz float64) float64 {
	sum := 0.0
	for _, v := range l.Values[column][s.from:s.to] {
		if v != v {
			return math.NaN()
		}
		sum += v
	}
	return math.Max(0, sum-noiseHz*secondsBetween(l, s.from-1, s.to-1))
}

// noiseHz is what a port counts a second outside all spells, 0 where the
// recording holds less than quietS of that.
func noiseHz(l *flowlog.Log, column int, all []spell) float64 {
	const quietS = 20
	sum, seconds, k := 0.0, 0.0, 0
	for i := 1; i < l.Len(); i++ {
		for k < len(all) && i >= all[k].to {
			k++
		}
		if v := l.Values[column][i]; v == v && (k == len(all) || i < all[k].from) {
			sum += v
			seconds += secondsBetween(l, i-1, i)
		}
	}
	if seconds < quietS {
		return 0
	}
	return sum / seconds
}

// portColumns are the columns of the product's runs, by index of the run; None
// where the log lacks the port or the fit gives the run none.
func portColumns(s flowlog.Schema, f *fit.Fit, runs []RunCatch) []int {
	out := make([]int, len(runs))
	for i, r := range runs {
		out[i] = flowlog.None
		if ref, ok := f.PortOf(r.Run); ok {
			out[i] = s.PortIndex(ref)
		}
	}
	return out
}
