package workstate

import "fmt"

// judge reads the tally.
func (a *Agreement) judge(longRecordingS float64) {
	flow := a.DownFlowS + a.UpFlowS
	minutes := longRecordingS / 60
	switch {
	case a.Changes >= flickerAll && float64(a.Changes) > flickerMin*minutes && a.Changes > 4*(a.FlowChanges+2):
		a.Verdict = Flickers
		a.Words = fmt.Sprintf("The work column changes %d times in %.0f minutes, far more often than the flow (%d): a loose contact, or an input that is wired to nothing. Look at the switch and its plug.", a.Changes, minutes, a.FlowChanges)
	case a.Changes == 0:
		a.constant()
	case flow < leastS:
		a.Words = fmt.Sprintf("Product flowed for only %.0f s clear of changes: record longer, with product running, and raise and lower once.", flow)
	case a.UpFlowS > mostWrong*flow:
		a.turned()
	case a.UpFlowS < mostRight*flow && a.UpStillS >= stillS:
		a.Verdict = Agrees
		a.Words = fmt.Sprintf("The work column goes with the flow: in the ground for %.0f of %.0f s of flow, lifted for %.0f s in which nothing flowed.", a.DownFlowS, flow, a.UpStillS)
	case a.UpFlowS < mostRight*flow:
		a.Words = "The work column says in the ground while product flows, as it should; that nothing flows while it says lifted is not in the recording: raise and lower once while it runs."
	default:
		a.Words = fmt.Sprintf("The work column goes with the flow only in part: %.0f s of flow in the ground, %.0f s lifted. Was the drill raised with product running? Raise and lower once with the product stopping by itself.", a.DownFlowS, a.UpFlowS)
	}
}

// constant is a column that never changes.
func (a *Agreement) constant() {
	up := a.UpFlowS+a.UpStillS > a.DownFlowS+a.DownStillS
	switch {
	case up && a.UpFlowS >= longS:
		a.Verdict = Stuck
		a.Words = fmt.Sprintf("The work column says lifted all the time, and product flowed for %.0f s: the drill stood raised, or the switch is wired to nothing or the wrong way round. Lower it, raise it, and see that the column changes.", a.UpFlowS)
	case a.FlowChanges > flipsTold:
		a.Verdict = Stuck
		a.Words = fmt.Sprintf("The work column never changes, though the flow started and stopped %d times: the switch is wired to nothing, or held. Lower it, raise it, and see that the column changes.", a.FlowChanges)
	default:
		a.Words = "The work column never changes in this recording, which a drill that stands lowered explains: to prove the switch, raise and lower once while it records."
	}
}

// turned is a column that says lifted during most of the flow, and does change.
// Product can run from a raised drill, by hand: only a column that also says in
// the ground while nothing flows is the wrong way round.
func (a *Agreement) turned() {
	if a.DownStillS < stillS || a.DownStillS < a.UpStillS {
		a.Words = fmt.Sprintf("The work column says lifted during most of the flow (%.0f s), and hardly ever in the ground while nothing flows: was the drill raised with product running? Lower it, run product, stop it, raise it.", a.UpFlowS)
		return
	}
	a.Verdict = Inverted
	a.Words = fmt.Sprintf("The work column is the wrong way round: it says lifted for %.0f of %.0f s of flow, and in the ground for %.0f s in which nothing flowed. Turn it round in the monitor's set-up, or at the switch.", a.UpFlowS, a.UpFlowS+a.DownFlowS, a.DownStillS)
}
