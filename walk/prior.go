package walk

// Prior belief about one run of a walk, from no source but common practice:
// most hoses are where the plan wants them.
const (
	priorPlanned     = 0.92
	priorMoved       = 0.035
	priorSilent      = 0.04
	priorSilentOdd   = 0.5   // no port reacts, where the planned one counts strangely
	priorSilentDead  = 0.95  // the same, where the planned one is dead or missing
	priorDisplaced   = 0.2   // a run whose port another has is at one that none has
	priorPattern     = 2e-4  // a whole drill is off by one or two ports...
	priorPatternNode = 0.012 // ...and by one where it has a single node: a person's slip
	priorOutside     = 0.02  // the recorder was off when a mark was made
	priorRepeat      = 0.1   // one of several marks of a run is a mistake
)
