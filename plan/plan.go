package plan

import (
	"runproof/allocate"
	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
)

// Options are what a plan can be told beside drill and catalogue. The zero
// Options number the nodes N1, N2, ... and do not search.
type Options struct {
	Serials []string // of the nodes, in any order; nil = N1, N2, ...
	Effort  int64    // limit on the search of the allocation (see allocate.Effort)
}

// Outcome is a fit and what is worth saying about how it came about.
type Outcome struct {
	Fit        *fit.Fit
	Allocation allocate.Plan
}

// Make plans the drill's fit, revision 1. made says what made it. The error is
// an allocate.KeyFault or an input.Fault.
func Make(d *drill.Drill, cat parts.Catalogue, o Options, made fit.Provenance) (Outcome, error) {
	f, a, err := allocate.FitWithin(o.Effort, d, cat, o.Serials, made)
	if err != nil {
		return Outcome{}, err
	}
	f.Checks = append(check.Results{}, drill.Check(d)...)
	f.Kit = cat.Kit(f.Need())
	return Outcome{f, a}, nil
}
