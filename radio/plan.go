package radio

import (
	"cmp"
	"math"
	"slices"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/measure"
	"runproof/parts"
)

// Rules of a place: common practice, no source, but where it is said.
const (
	operatorLeastM = 0.61 // antenna to the operator
	gatewayLeastM  = 0.20 // antenna to the gateway's housing
	peopleLeastM   = 0.20 // anybody to the antenna: the condition of mobile devices in 47 CFR 2.1091
	cabLossDB      = 12.0 // cab and body
	fadeLeastDB    = 10.0 // to spare over what the receiver needs
	fadeWishedDB   = 15.0
	layM           = 0.2 // of antenna lead on top of the straight way
)

// Plan places gateway and antenna, best place first, and judges the best. A
// catalogue without a gateway gives the zero Radio. Figures of the radio that
// the catalogue does not say are not known, and no rule about them is judged.
func Plan(d *drill.Drill, cat parts.Catalogue) (fit.Radio, check.Results) {
	all := cat.Of(parts.Gateway)
	if len(all) == 0 {
		return fit.Radio{}, nil
	}
	p := planner{d: d, at: d.Places(), gateway: all[0]}
	if as := cat.Of(parts.Antenna); len(as) > 0 {
		p.antenna = as[0]
	}
	r := fit.Radio{Gateway: p.gateway.ID, Antenna: p.antenna.ID}
	if p.gateway.MHz > 0 && p.gateway.TxDBm != 0 {
		r.EIRPdBm = rounded(p.gateway.TxDBm+p.antenna.GainDBi-p.antenna.LossDB, 3)
	}
	r.People = p.people(r.EIRPdBm)
	for _, at := range placesFor(d) {
		r.Options = append(r.Options, p.option(at, r))
	}
	slices.SortStableFunc(r.Options, better)
	return r, p.judge(r)
}

type planner struct {
	d       *drill.Drill
	at      drill.Places
	gateway parts.Part
	antenna parts.Part
}

// hz is the radio's frequency; NaN where it is not said.
func (p planner) hz() float64 {
	if p.gateway.MHz == 0 {
		return math.NaN()
	}
	return p.gateway.MHz * 1e6
}

// rounded is a figure of a document; nil where it is not known.
func rounded(v float64, decimals int) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v = measure.Round(v, decimals)
	return &v
}

// people is how far everybody stays from the antenna.
func (p planner) people(eirpDBm *float64) fit.Exposure {
	e := fit.Exposure{ApprovalM: p.gateway.BodyM, Source: "47 CFR 1.1310 table 1(B) and ICNIRP 2020, the lower; 0.20 m by 47 CFR 2.1091"}
	e.RequiredM = math.Max(peopleLeastM, e.ApprovalM)
	limit := math.Min(PublicUS(p.gateway.MHz), PublicICNIRP(p.gateway.MHz))
	if eirpDBm == nil || math.IsNaN(limit) {
		return e
	}
	watts := MilliwattOf(*eirpDBm) / 1000
	e.LimitWM2, e.FreeM, e.GroundM = rounded(limit, 4), rounded(LeastM(watts, limit), 4), rounded(LeastM(GroundTimes*watts, limit), 4)
	e.RequiredM = math.Max(e.RequiredM, *e.GroundM)
	return e
}

func (p planner) option(at place, r fit.Radio) fit.RadioOption {
	o := fit.RadioOption{
		Name: at.name, Gateway: roundPoint(at.gateway), GatewayOn: at.gatewayOn, Antenna: roundPoint(at.antenna), AntennaOn: at.antennaOn,
		OperatorM: measure.Round(drill.DistanceM(at.antenna, p.at.Cab), 3), Why: at.why, Broken: []string{},
		LeadM: measure.Round(drill.DistanceM(at.antenna, at.gateway)+layM, 3),
	}
	s := see(at.antenna, p.at.Cab, p.at.Cart, p.hz())
	o.Sight = s.word()
	if s.passes {
		o.ClearM, o.FresnelM = rounded(s.clearM, 3), rounded(s.fresnelM, 3)
	}
	o.LossDB = rounded(LossDB(o.OperatorM, p.hz()), 2)
	if r.EIRPdBm != nil && o.LossDB != nil {
		rx := *r.EIRPdBm - *o.LossDB - cabLossDB
		o.RxDBm = rounded(rx, 2)
		if p.gateway.RxDBm != 0 {
			o.MarginDB = rounded(rx-p.gateway.RxDBm, 2)
		}
	}
	for _, c := range p.rules(o, r) {
		if c.Verdict() == check.Broken {
			o.Broken = append(o.Broken, c.Rule)
		}
	}
	return o
}

func roundPoint(q drill.Point) drill.Point {
	return drill.Point{Forward: measure.Round(q.Forward, 3), Right: measure.Round(q.Right, 3), Up: measure.Round(q.Up, 3)}
}

// better orders options: the fewest broken rules, then the clearest sight, then
// the most to spare, then the shortest lead.
func better(a, b fit.RadioOption) int {
	sight := func(o fit.RadioOption) int {
		return map[fit.Sight]int{fit.SightClear: 0, fit.SightGrazed: 1, fit.SightUnknown: 1, fit.SightBlocked: 2}[o.Sight]
	}
	return cmp.Or(
		cmp.Compare(len(a.Broken), len(b.Broken)),
		cmp.Compare(sight(a), sight(b)),
		cmp.Compare(orZero(b.MarginDB), orZero(a.MarginDB)),
		cmp.Compare(a.LeadM, b.LeadM),
	)
}

func orZero(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}
