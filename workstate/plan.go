package workstate

import (
	"fmt"
	"math"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// Rules of a place for a tilt sensor: common practice, no source, but for the
// slope, which the drill's description may tell.
const (
	usualSlopeDeg = 6.0 // steepest along the way of travel, 10.5 %
	mountErrorDeg = 1.0
	leastSpanDeg  = 8.0 // between raised and lowered; less is refused
	holdS         = 1.0 // past the threshold before the state changes
	leadM         = 3.0 // from the node to the linkage
)

// Plan says where the work-state switch of a fit goes, on which node it is, and
// which way round it works, as far as the drill's linkage is described. Where
// it is not, the options stand with their usual angles and nothing is broken. A
// fit without nodes gets the zero answer.
func Plan(f *fit.Fit, cat parts.Catalogue) (fit.WorkSwitch, check.Results) {
	if len(f.Nodes) == 0 {
		return fit.WorkSwitch{}, nil
	}
	l := f.Drill.Lift
	w := fit.WorkSwitch{Node: nearestNode(f), LeadM: leadM, At: linkageAt(&f.Drill)}
	if all := cat.Of(parts.Switch); len(all) > 0 {
		w.Part = all[0].ID
	}
	if l.SwitchContact {
		w.Kind, w.On = fit.ContactSwitch, "the lift linkage, where it opens or closes near the working position"
		w.Options = []fit.SwitchOption{{On: w.On, Usable: true, Words: "A contact needs no angle. Note at the machine whether it is closed or open in the ground."}}
		return w, check.Results{wayNoted(w)}
	}
	w.Options = options(l)
	best := w.Options[0]
	w.On, w.HoldS = best.On, holdS
	if l.Kind != drill.LiftUnsaid {
		angles(&w, l)
	}
	rs := check.Results{span(w, l), clears(w, best, l), wayNoted(w)}
	if l.ArmM > 0 && l.PinWorkUpM != l.PinRaisedUpM {
		rs = append(check.Results{reached(l)}, rs...)
	}
	return w, rs
}

// nearestNode is the node nearest to the middle of the frame, where the lift
// linkage is reached with the shortest lead; the first of two alike.
func nearestNode(f *fit.Fit) string {
	at := linkageAt(&f.Drill)
	best, least := "", math.Inf(1)
	for _, n := range f.Nodes {
		h, _ := f.Drill.Head(n.Head)
		if d := drill.DistanceM(h.At, at); d < least-1e-9 {
			best, least = n.Serial, d
		}
	}
	return best
}

// linkageAt is about where the lift linkage is: the middle of the front rank.
func linkageAt(d *drill.Drill) drill.Point {
	up := d.Lift.PivotUpM
	if up == 0 {
		up = usualPivotUpM
	}
	return drill.Point{Up: up}
}

const usualPivotUpM = 0.7

// place is a place for a tilt sensor: what turns there, and how far it usually
// turns.
type place struct {
	kind    drill.LiftKind
	on      string
	typical string
	words   string
}

// places are tried in this order where the linkage is not described.
var places = []place{
	{drill.LiftParallel, "an arm of the parallel linkage", "20 to 40°", "On the arm, not on the tool bar: the bar of a parallel linkage stays level. Hillsides and bumps hardly count beside the arm's own angle."},
	{drill.LiftRockShaft, "the rock shaft or a wheel arm", "25 to 60°", "On the shaft or arm itself, clear of grease points and hoses."},
	{drill.LiftRigid, "the frame, which pivots at the hitch", "2 to 5°", "Usually too little: a slope along the way of travel looks like a lift. Use it only where nothing else turns."},
}

// options are the places, that of the described linkage first, each with its
// angle where it can be reckoned.
func options(l drill.Lift) []fit.SwitchOption {
	var first, rest []fit.SwitchOption
	for _, p := range places {
		o := fit.SwitchOption{On: p.on, NeedDeg: measure.Round(need(l, math.NaN()), 2), Words: p.words, Typical: p.typical}
		if p.kind == l.Kind {
			if work, up, ok := degreesOf(l); ok {
				s := measure.Round(math.Abs(up-work), 4)
				o.SpanDeg, o.NeedDeg, o.Typical = &s, measure.Round(need(l, s), 2), ""
				o.Usable = s >= leastSpanDeg && s/2 > need(l, s)
			}
			first = append(first, o)
		} else {
			rest = append(rest, o)
		}
	}
	return append(first, rest...)
}

// degreesOf are the angles of the described linkage at work and raised, and
// whether its figures make sense.
func degreesOf(l drill.Lift) (work, raised float64, ok bool) {
	if l.ArmM == 0 || l.PinWorkUpM == l.PinRaisedUpM {
		return 0, 0, false
	}
	work, raised = LinkDeg(l.PinWorkUpM, l.PivotUpM, l.ArmM), LinkDeg(l.PinRaisedUpM, l.PivotUpM, l.ArmM)
	return work, raised, !math.IsNaN(work) && !math.IsNaN(raised)
}

// need is what half of the span must be more than, degrees: the slope, half the
// band, and how crookedly it may be mounted. The band of a span that is not
// known is that of the least.
func need(l drill.Lift, spanDeg float64) float64 {
	slope := l.SlopeDeg
	if slope == 0 {
		slope = usualSlopeDeg
	}
	if math.IsNaN(spanDeg) {
		spanDeg = leastSpanDeg
	}
	return slope + bandPart*spanDeg + mountErrorDeg
}

// angles fills in the angles and thresholds of the described linkage.
func angles(w *fit.WorkSwitch, l drill.Lift) {
	work, up, ok := degreesOf(l)
	if !ok {
		return
	}
	t := ThresholdsOf(work, up)
	to := func(v float64) *float64 {
		v = measure.Round(v, 4)
		return &v
	}
	w.WorkDeg, w.UpDeg, w.RaiseAt, w.LowerAt = to(work), to(up), to(t.RaiseDeg), to(t.LowerDeg)
	w.Work = fit.WorkBelow
	if up < work {
		w.Work = fit.WorkAbove
	}
}

// reached judges whether the moving pin can be where it is said to be: no arm
// reaches farther than it is long.
func reached(l drill.Lift) check.Result {
	key, at := farthestPin(l)
	return check.Result{
		Rule: "pin within reach of its arm", Of: fmt.Sprintf("%s %g from pivot_up_m %g", key, at, l.PivotUpM), Quantity: measure.Length,
		Value: measure.Round(math.Abs(at-l.PivotUpM), 6), Bound: check.AtMost, Limit: l.ArmM,
		Source: "geometry", Advice: "one of " + key + ", pivot_up_m and arm_m is wrong: measure them again",
	}
}

// farthestPin is the figure of the two that puts the moving pin farther from
// its pivot.
func farthestPin(l drill.Lift) (key string, upM float64) {
	if math.Abs(l.PinRaisedUpM-l.PivotUpM) > math.Abs(l.PinWorkUpM-l.PivotUpM) {
		return "pin_raised_up_m", l.PinRaisedUpM
	}
	return "pin_work_up_m", l.PinWorkUpM
}

// span judges whether what the sensor sits on turns enough to tell at all.
func span(w fit.WorkSwitch, l drill.Lift) check.Result {
	r := check.Result{
		Rule: "tilt between raised and in the ground", Of: w.On, Quantity: measure.Angle, Value: math.NaN(), Bound: check.AtLeast, Limit: leastSpanDeg,
		Source: check.CommonPractice,
	}
	if s := w.Options[0].SpanDeg; s != nil {
		r.Value = *s
	}
	return r.Advised("mount it on a part that turns further, or use a contact on the linkage", lacking(l))
}

// lacking says why the angle of the linkage is not known: what is not said, or
// which figures cannot be.
func lacking(l drill.Lift) string {
	const figures = "arm_m, pivot_up_m, pin_work_up_m and pin_raised_up_m"
	key, at := farthestPin(l)
	switch {
	case l.ArmM > 0 && l.PinWorkUpM == l.PinRaisedUpM && l.PinWorkUpM != 0:
		return fmt.Sprintf("pin_work_up_m and pin_raised_up_m are both %g, and nothing turns: measure them again, or take a pin that moves", l.PinWorkUpM)
	case l.ArmM > 0 && l.PinWorkUpM != l.PinRaisedUpM && math.Abs(at-l.PivotUpM) > l.ArmM:
		return fmt.Sprintf("%s %g is %.3g m from pivot_up_m %g, and arm_m %g does not reach so far: measure them again", key, at, math.Abs(at-l.PivotUpM), l.PivotUpM, l.ArmM)
	case l.Kind == drill.LiftUnsaid:
		return "say the kind of linkage (parallel, rock-shaft or rigid), measure " + figures + ", and write them into lift"
	}
	return "measure " + figures + " of the linkage and write them into lift"
}

// clears judges whether a slope can look like a lift.
func clears(w fit.WorkSwitch, best fit.SwitchOption, l drill.Lift) check.Result {
	slope := l.SlopeDeg
	said := ""
	if slope == 0 {
		slope, said = usualSlopeDeg, "; assumed: slope 6°"
	}
	r := check.Result{
		Rule: "half the tilt clears slope, band and mounting", Of: fmt.Sprintf("%s, slope %g°", w.On, slope), Quantity: measure.Angle, Value: math.NaN(), Bound: check.AtLeast, Limit: best.NeedDeg,
		Source: "slope + 15 % of the span + 1°: " + check.CommonPractice + said,
	}
	if best.SpanDeg != nil {
		r.Value = *best.SpanDeg / 2
	}
	return r.Advised("a slope looks like a lift there: mount it on a part that turns further, or use a contact, or take the difference of two sensors on arm and frame", lacking(l))
}

// wayNoted asks that somebody says which way round is in the ground.
func wayNoted(w fit.WorkSwitch) check.Result {
	r := check.Result{
		Rule: "which way round is in the ground", Of: w.On, Value: math.NaN(), Bound: check.AtLeast, Limit: 1,
		Source: check.CommonPractice, Advice: "lower the drill, look at the monitor, and note it on the run sheet; a walk with the drill lowered and raised proves it (runproof prove)",
	}
	if w.Work != fit.WorkUnknown {
		r.Value = 1
		r.Of += ", " + w.Work.String()
	}
	return r
}
