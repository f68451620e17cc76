package airflow

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
)

// Limits that the trade keeps: common practice, no source.
const (
	fastestMPS     = 40.0 // of air with seed in it; single impacts at 40 m/s broke most of the wheat (J. Agric. Sci. Technol., abstract)
	gentleMPS      = 30.0
	densestLoading = 5.0 // kg in a kg of air: beyond, the flow is not dilute any more and the figures do not hold
	spreadMost     = 0.6 // of air shares within a head, largest less smallest, over the mean
	spreadWished   = 0.3
	boresLeast     = 5.0 // of hose from the outlet to the sensor
	boresWished    = 10.0
)

// judge asks each rule of every head that has an open run, and gives the heads
// that break it, or the one with the least margin; and the heads for which it
// cannot tell.
func (p *planner) judge() check.Results {
	rules := []func(fit.HeadAir) check.Result{
		p.primarySpeed, p.hoseSpeed, p.gentle, dense, p.fan, hoseSpread, sensorBores,
	}
	var rs check.Results
	for _, rule := range rules {
		rs = append(rs, p.telling(rule)...)
	}
	return rs
}

func (p *planner) telling(rule func(fit.HeadAir) check.Result) check.Results {
	var all check.Results
	for _, h := range p.air.Heads {
		if h.Open > 0 {
			all = append(all, rule(h))
		}
	}
	told := all.With(check.Broken)
	tight := all.With(check.Tight)
	if len(told) == 0 {
		told = leastMargin(append(tight, all.With(check.Kept)...))
		if len(tight) > 1 {
			told[0].Of += fmt.Sprintf(", tightest of %d heads", len(tight))
		}
	}
	if unknown := all.With(check.Unknown); len(unknown) > 0 {
		first := unknown[0]
		if n := len(unknown) - 1; n > 0 && len(unknown) < len(all) {
			first.Of += fmt.Sprintf(", and %d more", n)
		}
		told = append(told, first)
	}
	return told
}

// leastMargin is the first result with the least margin, none of none.
func leastMargin(rs check.Results) check.Results {
	if len(rs) == 0 {
		return nil
	}
	return check.Results{slices.MinFunc(rs, func(a, b check.Result) int { return cmp.Compare(a.Margin(), b.Margin()) })}
}

func ofHead(h fit.HeadAir) string { return fmt.Sprintf("head %s", h.Head) }

// judged is a figure of a line that may be judged: its bore was said, and it was
// measured.
func judged(l fit.Line) float64 {
	if l.Assumed || !l.Measured {
		return math.NaN()
	}
	return l.AirMPS
}

const speedSource = "highest of five saltation correlations (Rizk 1973, Matsumoto 1975 and 1977, Schade 1987, Weber 1981) times 1.2 (Mills 2010), wished 1.5 (Rhodes, from memory); in a riser terminal velocity and 5 m/s (common practice, no source)"

func lineSpeed(rule, of string, l fit.Line) check.Result {
	r := check.Result{
		Rule: rule, Of: of, Quantity: measure.AirSpeed, Value: judged(l), Bound: check.AtLeast, Limit: math.NaN(),
		Source: speedSource,
	}
	if l.NeedMPS.Known() {
		r.Limit, r.Reserve = l.NeedMPS.Low, math.Max(0, l.NeedMPS.Likely-l.NeedMPS.Low)
	}
	return r
}

func (p *planner) primarySpeed(h fit.HeadAir) check.Result {
	return lineSpeed("air speed in the primary line", ofHead(h), h.Primary).Advised("fan up or rate down",
		"measure the air at the end of a hose, and write air.primary_mps, primary_mm and the product's material and rate")
}

func (p *planner) hoseSpeed(h fit.HeadAir) check.Result {
	return lineSpeed("air speed in the hoses", ofHead(h), h.Hose).Advised("fan up; look for a leak at a lid or a loose hose",
		"measure the air at the end of a hose, and write air.hose_mps and hose_mm")
}

func (p *planner) gentle(h fit.HeadAir) check.Result {
	return check.Result{
		Rule: "air gentle on seed", Of: ofHead(h), Quantity: measure.AirSpeed, Value: judged(h.Primary), Limit: fastestMPS, Reserve: fastestMPS - gentleMPS,
		Source: check.CommonPractice + "; impacts at 10 to 40 m/s broke 4 to 73 % of wheat (J. Agric. Sci. Technol., abstract)",
		Advice: "fan down as far as the heaviest product and the longest line allow, most of all with dry seed",
	}
}

func dense(h fit.HeadAir) check.Result {
	r := check.Result{
		Rule: "product in the air of the primary line", Of: ofHead(h) + ", kg in a kg of air", Value: math.NaN(), Limit: densestLoading, Reserve: densestLoading / 2,
		Source: check.CommonPractice, Advice: "rate down, or a wider primary line",
	}
	if !h.Primary.Assumed && h.Primary.Loading > 0 {
		r.Value = h.Primary.Loading
		if !h.Primary.Measured {
			r.Of += ", at the air speed it needs"
		}
	}
	return r
}

func (p *planner) fan(h fit.HeadAir) check.Result {
	r := check.Result{
		Rule: "pressure that the lines want of the fan", Of: ofHead(h), Quantity: measure.Pressure, Value: math.NaN(), Limit: math.NaN(),
		Source: "terms of Hinkle 1953 and Konno and Saito 1969, smooth pipe; air.fan_pa of the drill's description",
	}
	if v := p.d.Air.FanPa; v > 0 {
		r.Limit = v
	}
	if h.PressurePa.Known() && !h.Primary.Assumed && !h.Hose.Assumed {
		r.Value, r.Reserve = h.PressurePa.Likely, math.Max(0, h.PressurePa.High-h.PressurePa.Likely)
	}
	return r.Advised("shorter or wider lines, fewer bends", "write air.fan_pa, primary_mm and hose_mm")
}

// hoseSpread breaks nothing while the lengths are estimated: then a spread above
// the limit asks for a tape measure.
func hoseSpread(h fit.HeadAir) check.Result {
	r := check.Result{
		Rule: "air of the hoses alike", Of: ofHead(h), Quantity: measure.Ratio, Value: h.Division.Spread.Likely, Limit: spreadMost, Reserve: spreadMost - spreadWished,
		Source: check.CommonPractice + "; lengths estimated from straight reach",
	}
	if h.Division.Spread.Known() {
		r.Of += fmt.Sprintf(", %s longest, %s shortest", h.Division.Longest, h.Division.Shortest)
	}
	lacking := ""
	if h.Division.Estimated && r.Value > spreadMost {
		lacking = fmt.Sprintf("measure the longest and the shortest hose: by straight reach their air would differ by %.0f %%", 100*r.Value)
		r.Value = math.NaN()
	}
	return r.Advised("hoses of one head too unlike in length: measure them; shorten the long ones or lay the short ones longer", lacking)
}

func sensorBores(h fit.HeadAir) check.Result {
	r := check.Result{
		Rule: "bores of hose before the sensor", Of: ofHead(h), Value: math.NaN(), Bound: check.AtLeast, Limit: boresLeast, Reserve: boresWished - boresLeast,
		Source: check.CommonPractice, Advice: "put the sensor farther from the outlet: product comes out of a bend as a rope; same place on every run",
	}
	if h.Counter.Bores > 0 {
		r.Value = h.Counter.Bores
	}
	return r
}

// headsWhere are the heads for which it holds.
func (p *planner) headsWhere(holds func(fit.HeadAir) bool) []drill.HeadID {
	var ids []drill.HeadID
	for _, h := range p.air.Heads {
		if holds(h) {
			ids = append(ids, h.Head)
		}
	}
	return ids
}
