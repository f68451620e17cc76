package flowlog

import (
	"maps"
	"math/bits"
	"slices"
)

// Intervals takes in the time between neighbouring samples, one after another,
// in memory that does not grow with the log: it sorts them into classes of
// about a thousandth, so that each answer is right to that, and exact when the
// recorder keeps time. The zero value is ready.
type Intervals struct {
	class   map[uint32]*class
	n       int
	longest []Gap // longest first
}

// Gap is a stretch without samples: from the sample at AfterNS for LengthNS.
type Gap struct {
	AfterNS  int64
	LengthNS int64
}

type class struct {
	n   int
	sum int64
}

// keptGaps is how many of the longest intervals are kept one by one.
const keptGaps = 10

// Add takes in the interval of length ns that begins after the sample at afterNS.
func (v *Intervals) Add(afterNS, ns int64) {
	if v.class == nil {
		v.class = make(map[uint32]*class)
	}
	k := classOf(ns)
	c := v.class[k]
	if c == nil {
		c = new(class)
		v.class[k] = c
	}
	c.n++
	c.sum += ns
	v.n++
	v.keep(Gap{afterNS, ns})
}

// classOf is the place of the leading one and the ten bits behind it.
func classOf(ns int64) uint32 {
	const fine = 10
	n := bits.Len64(uint64(ns))
	if n > fine+1 {
		return uint32(n)<<fine | uint32(uint64(ns)>>(n-fine-1))&(1<<fine-1)
	}
	return uint32(ns)
}

func (v *Intervals) keep(g Gap) {
	if len(v.longest) == keptGaps {
		if g.LengthNS <= v.longest[keptGaps-1].LengthNS {
			return
		}
		v.longest = v.longest[:keptGaps-1]
	}
	at := len(v.longest)
	for at > 0 && v.longest[at-1].LengthNS < g.LengthNS {
		at--
	}
	v.longest = slices.Insert(v.longest, at, g)
}

// QuantileNS returns the interval that a share p (0 to 1) of all does not
// exceed: of n intervals the one of rank (n-1)p, rounded down. It is 0 when
// there are none.
func (v *Intervals) QuantileNS(p float64) int64 {
	rank := int(float64(v.n-1) * p)
	for _, k := range slices.Sorted(maps.Keys(v.class)) {
		c := v.class[k]
		if rank < c.n {
			return c.mean()
		}
		rank -= c.n
	}
	return 0
}

func (c *class) mean() int64 { return (c.sum + int64(c.n)/2) / int64(c.n) }

// Gaps returns how many intervals are gaps (longer than GapFactor medians), how
// many samples they seem to have swallowed, and the longest of them, at most
// ten, longest first.
func (v *Intervals) Gaps() (n, lost int, longest []Gap) {
	median := v.QuantileNS(0.5)
	limit := int64(float64(median) * GapFactor)
	for _, c := range v.class {
		if m := c.mean(); m > limit {
			n += c.n
			lost += int((c.sum+median/2)/median) - c.n
		}
	}
	for _, g := range v.longest {
		if g.LengthNS > limit && len(longest) < n {
			longest = append(longest, g)
		}
	}
	return n, lost, longest
}
