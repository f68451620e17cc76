package season

import (
	"math"
	"slices"
	"testing"

	"runproof/drill"
)

const seasons = 200

// TestNothingStandsOutByChance: where all runs have one rate, an offender in
// any of three families (runs, heads, nodes) is named in at most 3 x 5 % of
// seasons: 99.9 % of Binomial(200, 0.15) is 47. A trend that is called sure in
// at most 5 %: 99.9 % of Binomial(200, 0.05) is 21.
func TestNothingStandsOutByChance(t *testing.T) {
	f := rig(4, 12)
	named, trending := 0, 0
	for seed := range uint64(seasons) {
		doc := made(t, f, chanceSeason(f, 10, seed, func(drill.RunID, int) float64 { return 0.02 }))
		if len(doc.Offenders) > 0 {
			named++
		}
		if len(doc.Worse())+len(doc.Better()) > 0 {
			trending++
		}
	}
	if named > 47 || trending > 21 {
		t.Errorf("of %d seasons without a cause %d name an offender and %d a trend", seasons, named, trending)
	}
	t.Logf("of %d seasons without a cause %d name an offender and %d a trend", seasons, named, trending)
}

// TestOffenderAndRepair: 48 runs in 12 days of 8 h, a rate of 0.006 an hour
// (0.58 a season) for all but C-7, which has 0.32 an hour until it is repaired
// on the sixth day and 0.016 after.
//
// Found: 5 x 8 h x 0.32 = 12.8 before alone; about 28 fall on all others. With
// some 41 troubles of 48 runs a count of 7 has a chance of
// C(41,7) 48^-7 = 4e-5, times 96 = 0.004: found from 7 on at the latest, and
// P(Poisson(12.8) < 7) = 0.03: 99.9 % of Binomial(200, 0.03) is 15 misses.
//
// Another run named: 5 %, and heads and nodes likewise: 47 as above.
//
// Its ratio of 0.05 lies in the 95 % interval in 95 % at least: 99.9 % of
// Binomial(200, 0.05) is 21 misses. That it helped is told unless chance
// brings before <= 5, or after 1 and before <= 7, or after 2 and before <= 9,
// or after >= 3; with means 12.8 and 6 x 8 x 0.016 = 0.77 that is
// 0.012 + 0.36 x 0.06 + 0.14 x 0.18 + 0.045 = 0.10: 99.9 % of
// Binomial(200, 0.10) is 34.
func TestOffenderAndRepair(t *testing.T) {
	f := rig(4, 12)
	rate := func(run drill.RunID, day int) float64 {
		switch {
		case run != "C-7":
			return 0.006
		case day <= 5:
			return 0.32
		}
		return 0.016
	}
	missed, others, outside, unproved, control := 0, 0, 0, 0, 0
	for seed := range uint64(seasons) {
		doc := made(t, f, chanceSeason(f, 12, 1000+seed, rate), Repair{Run: "C-7", Date: opening(5).Format("2006-01-02"), What: "new boot"})
		is := func(o Offender) bool { return o.Place.String() == "C-7" && o.Trouble == Flow }
		if !slices.ContainsFunc(doc.Offenders, is) {
			missed++
		}
		if slices.ContainsFunc(doc.Offenders, func(o Offender) bool { return !is(o) }) {
			others++
		}
		r := doc.Repairs[0]
		if r.Run != "C-7" || r.Trouble != Flow || r.Before.Days != 5 || r.After.Days != 6 {
			t.Fatalf("%+v", r)
		}
		if r.Low > 0.05 || r.High != nil && *r.High < 0.05 {
			outside++
		}
		if !r.Helped() {
			unproved++
		}
		if o := r.Others; o.Low > 1 || o.High != nil && *o.High < 1 {
			control++
		}
	}
	t.Logf("of %d seasons: offender missed %d, another named %d, ratio outside %d, repair not proved %d, others' ratio of 1 outside %d", seasons, missed, others, outside, unproved, control)
	if missed > 15 || others > 47 || outside > 21 || unproved > 34 || control > 21 {
		t.Error("beyond the bounds")
	}
}

// TestTrendIsFound: head A's rate doubles every 3 of 12 days from 0.01 an hour
// and run: about 12 runs x 8 h x 0.01 x (1 + ... + 2^(11/3)) = 52 troubles with
// a z near 4.6, and the others' stay: Holm over some 40 trends wants z > 3.2.
// P(z < 3.2) = P(N < -1.4) = 0.08: 99.9 % of Binomial(60, 0.08) is 13 misses.
func TestTrendIsFound(t *testing.T) {
	f := rig(4, 12)
	missed := 0
	for seed := range uint64(60) {
		doc := made(t, f, chanceSeason(f, 12, 3000+seed, func(run drill.RunID, day int) float64 {
			if run[0] == 'A' {
				return 0.01 * math.Exp2(float64(day)/3)
			}
			return 0.01
		}))
		if !slices.ContainsFunc(doc.Worse(), func(l Line) bool { return l.Head == "A" }) {
			missed++
		}
		if l := lineOf(t, doc.Heads, "head A", Flow); l.Trend == nil || l.Trend.Z < 0 {
			t.Errorf("seed %d: %+v", seed, l.Trend)
		}
	}
	t.Logf("missed %d of 60", missed)
	if missed > 13 {
		t.Errorf("the trend was missed in %d of 60 seasons", missed)
	}
}
