package harness

import (
	"runproof/fit"
)

// Allowances on top of the way of a leg: common practice, no source.
const (
	usualLay   = 0.05 // of the way: bends and lay
	usualLoopM = 0.3  // service loop at the box
)

// CoverRule is which of two covers of a leg is better. The zero value is
// LeastSurplus.
type CoverRule int

// The rules.
const (
	LeastSurplus CoverRule = iota // then fewest pieces; see Stock.Cover for what is no cover
	FewestPieces                  // then least surplus
)

// Options are what a plan may be told. The zero Options are the usual ones.
type Options struct {
	StubMaxM float64            // longest drop that the bus allows, m; 0 or NaN = no limit
	AreaMM2  float64            // least cross-section of every leg, mm2; 0 = the least in stock
	LegArea  map[string]float64 // least cross-section of single legs by id, mm2, where larger
	Lay      float64            // allowance for bends and lay as part of the way; 0 = 0.05
	LoopM    float64            // service loop of each leg, m; 0 = 0.3
	Cover    CoverRule          // which cover of a leg is better
	Gateway  string             // id of the gateway part; "" = the catalogue's first
}

func (o Options) lay() float64 {
	if o.Lay == 0 {
		return usualLay
	}
	return o.Lay
}

func (o Options) loopM() float64 {
	if o.LoopM == 0 {
		return usualLoopM
	}
	return o.LoopM
}

// areaMM2 is the least cross-section of the leg.
func (o Options) areaMM2(leg fit.Leg) float64 { return max(o.AreaMM2, o.LegArea[leg.ID]) }
