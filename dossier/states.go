package dossier

import (
	"strings"

	"runproof/drawing"
	"runproof/review"
	"runproof/walk"
)

// verdictState is how a verdict of the walk is shown.
func verdictState(v walk.Verdict) drawing.State {
	switch v {
	case walk.AsPlanned:
		return drawing.State{Word: "as planned", Ink: drawing.Green, Mark: drawing.FullDisc}
	case walk.Moved:
		return drawing.State{Word: "moved", Ink: drawing.Orange, Mark: drawing.Triangle}
	case walk.Silent:
		return drawing.State{Word: "silent", Ink: drawing.Vermillion, Mark: drawing.Cross}
	case walk.Shared:
		return drawing.State{Word: "shared", Ink: drawing.Purple, Mark: drawing.HalfDisc}
	case walk.NotWalked:
		return drawing.State{Word: "not walked", Ink: drawing.Soft, Mark: drawing.Bar}
	}
	return drawing.State{Word: "unsure", Ink: drawing.Soft, Mark: drawing.Ring}
}

// verdicts lists all verdicts in the order in which a summary gives them.
var verdicts = []walk.Verdict{walk.AsPlanned, walk.Moved, walk.Silent, walk.Shared, walk.Unsure, walk.NotWalked}

// kindState is how a kind of event is shown: colour, hatch, mark and word.
func kindState(k review.Kind) drawing.State {
	st := drawing.State{Word: strings.ReplaceAll(k.String(), "_", " ")}
	switch k {
	case review.Blocked:
		st.Ink, st.Hatch, st.Mark = drawing.Vermillion, drawing.Rising, drawing.Square
	case review.Restricted:
		st.Ink, st.Hatch, st.Mark = drawing.Orange, drawing.Falling, drawing.Triangle
	case review.SensorLost:
		st.Ink, st.Hatch, st.Mark = drawing.Purple, drawing.Upright, drawing.Cross
	case review.Noisy:
		st.Ink, st.Hatch, st.Mark = drawing.Yellow, drawing.Crossed, drawing.Diamond
	case review.HeadStarved:
		st.Ink, st.Hatch, st.Mark = drawing.Sky, drawing.Level, drawing.HalfDisc
	case review.ProductOut:
		st.Ink, st.Hatch, st.Mark = drawing.Blue, drawing.Level, drawing.FullDisc
	case review.NoData:
		st.Ink, st.Hatch, st.Mark = drawing.Soft, drawing.Speckled, drawing.Ring
	}
	return st
}
