package alarm

import (
	"fmt"
	"math"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
	"runproof/measure"
)

// Options are what a technician may ask for. The zero value asks for one false
// alarm in ten hours at the speed of the drill's description.
type Options struct {
	FalseAlarms float64 // allowed per 10 h of work, whole drill; 0 = 1
	SpeedMPS    float64 // 0 = the drill's
}

// Tune designs the rules. An error is an input.Fault: the recording is not of
// this drill, or too short to learn from.
func Tune(f *fit.Fit, l *flowlog.Log, opt Options) (*Rules, error) {
	if opt.FalseAlarms == 0 {
		opt.FalseAlarms = 1
	}
	if opt.SpeedMPS == 0 {
		opt.SpeedMPS = f.Drill.Work.SpeedMPS
	}
	if l.Len() < 3 {
		return nil, input.Fault{What: "the recording has fewer than three samples", Remedy: "record at least twenty minutes of sound work"}
	}
	b := gather(f, l)
	if len(b.heads) == 0 {
		return nil, input.Fault{What: "no settled work of this drill's runs is in the recording", Remedy: "check that fit and log are of the same drill, and that it was sowing"}
	}
	t := &tuner{f: f, b: b, opt: opt, out: &Rules{
		Runproof: Version, IntervalS: measure.Round(b.intervalS, 6), SpeedMPS: opt.SpeedMPS, Allowed: opt.FalseAlarms,
		Shares: map[drill.RunID]float64{}, WorkHours: measure.Round(b.workS/3600, 3),
		Rules: []Rule{}, Frontier: []Working{}, OtherRules: []OtherRule{}, Totals: []TotalLimit{}, Best: []Yardstick{}, Laws: []RunLaw{}, Validation: []Validation{}, Warnings: []string{},
	}}
	for _, p := range f.Drill.Products {
		t.product(p.ID)
	}
	t.warn()
	if len(t.out.Rules) == 0 {
		return nil, input.Fault{What: "no rule keeps within the allowed false alarms on this flow", Remedy: "allow more false alarms, or record more flow a sample"}
	}
	return t.out, nil
}

type tuner struct {
	f   *fit.Fit
	b   *baseline
	opt Options
	out *Rules
}

// product designs one product's rule. The drill's allowance is divided among
// the products by their numbers of runs.
func (t *tuner) product(id drill.ProductID) {
	var heads []headData
	runs, all := 0, 0
	for _, h := range t.b.heads {
		all += len(h.runs)
		if h.product == id {
			heads = append(heads, h)
			runs += len(h.runs)
		}
	}
	if len(heads) == 0 {
		return
	}
	k := &desk{
		product: id, laws: fitProduct(heads, t.b.intervalS), dt: t.b.intervalS, speedMPS: t.opt.SpeedMPS,
		allowed: t.opt.FalseAlarms * float64(runs) / float64(all), limit: own, heads: heads,
	}
	if len(k.laws) == 0 {
		return
	}
	w, frontier, ok := k.best()
	if !ok {
		t.note("%s: no floor and hold up to %d s keep within %.3g false alarms in ten hours", id, longestHoldS, k.allowed)
		return
	}
	t.out.Rules = append(t.out.Rules, w)
	t.out.Frontier = append(append(t.out.Frontier, frontier...), k.around(w.Floor)...)
	t.laws(k, w)
	t.others(k, heads)
	t.out.Totals = append(t.out.Totals, k.total(heads))
	t.out.Best = append(t.out.Best, k.yardstick())
	if v, ok := k.validate(heads, w); ok {
		t.out.Validation = append(t.out.Validation, v)
		if !v.Agrees {
			t.note("%s: the later part of the baseline shows %d spells of %d low samples where the earlier part predicts %.0f: the flow changed, or the law does not hold; record another baseline", id, v.Observed, v.K, v.Expected)
		}
	}
}

func (t *tuner) laws(k *desk, w Rule) {
	d := int(math.Round(w.HoldS / k.dt))
	all, perRun := k.falseAlarms(w.Floor)
	for i, l := range k.laws {
		law := RunLaw{
			Run: l.id, Share: measure.Round(l.fit.Share, 6), ShareSE: measure.Round(l.fit.SEShare, 7), Spread: measure.Round(math.Sqrt(relativeVariance(l.fit.Share, l.fit.Phi)), 4), WhiteSD: measure.Round(math.Sqrt(l.white), 4),
			SwirlSD: measure.Round(l.waver.swirlSD, 4), DriftSD: measure.Round(l.waver.driftSD, 4), Count: measure.Round(l.fit.Share*float64(l.totals[len(l.totals)/2]), 2),
		}
		if l.waver.swirlRho > 0 {
			law.SwirlS = measure.Round(-k.dt/math.Log(l.waver.swirlRho), 2)
		}
		if all[d-1] > 0 {
			law.FalseShare = measure.Round(perRun[i][d-1]/all[d-1], 4)
		}
		t.out.Laws = append(t.out.Laws, law)
		t.out.Shares[l.id] = measure.Round(l.fit.Share, 6)
	}
}

func (t *tuner) others(k *desk, heads []headData) {
	if o, ok := k.ofOwnMean(heads); ok {
		t.out.OtherRules = append(t.out.OtherRules, o)
	}
	if o, ok := k.ofAllRuns(heads); ok {
		t.out.OtherRules = append(t.out.OtherRules, o)
	}
}

func (t *tuner) note(format string, args ...any) {
	t.out.Warnings = append(t.out.Warnings, fmt.Sprintf(format, args...))
}

func (t *tuner) warn() {
	if t.b.workS < 1200 {
		t.note("only %.0f minutes of work: drift and rare lows are barely seen; record twenty minutes or more", t.b.workS/60)
	}
	for _, id := range t.b.faulty {
		t.note("%s was left out: it looks faulty in the baseline; mend it and record again", id)
	}
	for _, id := range t.b.absent {
		t.note("%s was left out: the log lacks its port", id)
	}
	for _, h := range t.b.heads {
		if len(h.runs) == 1 {
			t.note("head %s has one watched run: its share is always the whole, so this rule cannot see it; use the product's total or the run's own mean", h.id)
		}
	}
}
