package alarm

import (
	"cmp"
	"math"
	"slices"

	"runproof/drill"
	"runproof/measure"
)

// Where rules are looked for: floors in steps of a twentieth, holds up to a
// minute.
const (
	lowestFloor  = 0.10
	highestFloor = 0.90
	floorStep    = 0.05
	longestHoldS = 60
	workDayS     = 36000 // ten hours of work
	blockedLeft  = 0.03  // of its flow that a shut run still counts (design; common practice, no source)
	slowS        = 120   // how long drift stays where it is
)

// fault is the part of its flow that a run keeps.
type fault float64

// share is what a run of that share w has of its head's total under the fault:
// w f/(1 - w (1-f)), whether the siblings take up what it lost (a head divides
// what it is given) or not.
func (f fault) share(w float64) float64 {
	left := float64(f)
	return w * left / (1 - w*(1-left))
}

const (
	shut fault = blockedLeft
	half fault = 0.5
)

// desk is one product's search for a rule.
type desk struct {
	product  drill.ProductID
	laws     []runLaw
	dt       float64
	speedMPS float64
	allowed  float64 // false alarms per ten hours
	limit    func(l *runLaw, floor float64) float64
	heads    []headData // the baseline to anchor the law on; nil = trust the law alone
}

// own is the floor as a part of the run's own share.
func own(_ *runLaw, floor float64) float64 { return floor }

func (k *desk) most() int { return min(240, max(1, int(longestHoldS/k.dt))) }

// falseAlarms returns, for d = 1, 2, ..., the product's false alarms in ten
// hours, and each run's part of them.
func (k *desk) falseAlarms(floor float64) (all []float64, perRun [][]float64) {
	all = make([]float64, k.most())
	for i := range k.laws {
		g := k.laws[i].tabulate(k.limit(&k.laws[i], floor))
		on := g.onsets(len(all))
		for d := range on {
			on[d] *= workDayS / k.dt
			all[d] += on[d]
		}
		perRun = append(perRun, on)
	}
	k.anchor(floor, all)
	return all, perRun
}

// anchor scales the law's rates by what the baseline itself shows: by the
// spells of the greatest length that was counted at least forty times, against
// those that the law expects there. A wrong shape of the law then only matters
// from that length on. Ten on both sides keep chance out.
func (k *desk) anchor(floor float64, all []float64) {
	if k.heads == nil {
		return
	}
	counted, hours := k.spells(floor, len(all))
	deepest := 0
	for d, n := range counted {
		if n >= 40 {
			deepest = d + 1
		}
	}
	if deepest == 0 || hours == 0 {
		return
	}
	expected := all[deepest-1] * hours / (workDayS / 3600)
	factor := (float64(counted[deepest-1]) + 10) / (expected + 10)
	for d := range all {
		all[d] *= factor
	}
}

// spells counts the baseline's spells of lows that reach d = 1, 2, ... samples,
// and the hours that they come from.
func (k *desk) spells(floor float64, most int) (counted []int, hours float64) {
	counted = make([]int, most)
	byID := map[drill.RunID]*runLaw{}
	for i := range k.laws {
		byID[k.laws[i].id] = &k.laws[i]
	}
	longest := 0
	for _, h := range k.heads {
		longest = max(longest, len(h.totals))
		for r, id := range h.runs {
			if l := byID[id]; l != nil {
				h.eachSpell(r, k.limit(l, floor)*l.fit.Share, func(length int) {
					for d := range min(length, most) {
						counted[d]++
					}
				})
			}
		}
	}
	return counted, float64(longest) * k.dt / 3600
}

// typicalRuns is how many runs stand for a product's when delays are averaged:
// they differ only by share, and smoothly.
const typicalRuns = 12

// typical picks the product's runs in even steps of share; those alone on
// their head, which no rule on shares can see, only where there are no others.
func (k *desk) typical() []*runLaw {
	var laws []*runLaw
	for i := range k.laws {
		laws = append(laws, &k.laws[i])
	}
	if seen := slices.DeleteFunc(slices.Clone(laws), (*runLaw).alone); len(seen) > 0 {
		laws = seen
	}
	slices.SortStableFunc(laws, func(a, b *runLaw) int { return cmp.Compare(a.fit.Share, b.fit.Share) })
	if len(laws) <= typicalRuns {
		return laws
	}
	var out []*runLaw
	for i := range typicalRuns {
		out = append(out, laws[(2*i+1)*len(laws)/(2*typicalRuns)])
	}
	return out
}

// missed is the travel until the alarm, averaged over the product's runs; nil
// beyond ten hours.
func (k *desk) missed(floor float64, d int, f fault) *float64 {
	sum, laws := 0.0, k.typical()
	for _, l := range laws {
		g := l.tabulateFailed(k.limit(l, floor), f.share(l.fit.Share))
		if f == shut {
			g.drift, g.swirl = g.drift[:1], still()
			g.drift[0].weight = 1
		}
		sum += min(10*workDayS/k.dt, g.delay(d, slowS/k.dt))
	}
	seconds := sum / float64(len(laws)) * k.dt
	if seconds > workDayS {
		return nil
	}
	m := measure.Round(seconds*k.speedMPS, 2)
	return &m
}

// at is the working point of a floor and d samples.
func (k *desk) at(floor float64, d int, alarms float64) Working {
	return Working{
		Product: k.product, Floor: measure.Round(floor, 4), HoldS: measure.Round(float64(d)*k.dt, 6), FalseAlarmsPerDay: figures(alarms),
		Missed: Missed{Blocked: k.missed(floor, d, shut), Half: k.missed(floor, d, half)},
	}
}

// best returns, for every floor, the shortest hold that keeps within the
// allowed false alarms, and of these the one with the least cost; ok is false
// when none does.
func (k *desk) best() (chosen Working, frontier []Working, ok bool) {
	least := math.Inf(1)
	for i := 0; ; i++ {
		floor := lowestFloor + float64(i)*floorStep
		if floor > highestFloor+1e-9 {
			return chosen, frontier, ok
		}
		alarms, _ := k.falseAlarms(floor)
		d := shortest(alarms, k.allowed)
		if d == 0 {
			continue
		}
		w := k.at(floor, d, alarms[d-1])
		frontier = append(frontier, w)
		if c := cost(w.Missed); c < least-1e-9 {
			least, chosen, ok = c, w, true
		}
	}
}

// shortest is the least d >= 2 whose alarms are within the allowed, 0 where
// none is. One sample never decides: it would rest on the law's far tail alone,
// and any odd reading would ring.
func shortest(alarms []float64, allowed float64) int {
	for d, a := range alarms {
		if d > 0 && a <= allowed {
			return d + 1
		}
	}
	return 0
}

// cost weighs the two faults: ten runs block for each that loses half its flow
// (common practice, no source). What is never caught costs ten kilometres.
func cost(m Missed) float64 {
	far := func(v *float64) float64 {
		if v == nil {
			return 1e4
		}
		return min(*v, 1e4)
	}
	return (10*far(m.Blocked) + far(m.Half)) / 11
}

// around gives the working points of one floor from a hundred times the allowed
// alarms down to a hundredth: the curve of missed metres against false alarms.
func (k *desk) around(floor float64) []Working {
	alarms, _ := k.falseAlarms(floor)
	var out []Working
	for d, a := range alarms {
		if a <= 100*k.allowed && a >= k.allowed/100 && a > 0 {
			out = append(out, k.at(floor, d+1, a))
		}
	}
	return out
}

// figures rounds to four significant figures.
func figures(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	p := math.Pow(10, 3-math.Floor(math.Log10(math.Abs(v))))
	if math.IsInf(p, 0) {
		return 0
	}
	return math.Round(v*p) / p
}
