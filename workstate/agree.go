package workstate

import (
	"fmt"
	"math"
	"slices"

	"runproof/input"
)

// Verdict is whether a log's work column goes with its flow. The zero value is
// Unsure.
type Verdict int

// The verdicts.
const (
	Unsure   Verdict = iota // the recording cannot tell
	Agrees                  // product flows in the ground and not while lifted
	Inverted                // the other way about: the switch is wired or set the wrong way round
	Stuck                   // it never changes though it should have: wired to nothing, or held
	Flickers                // it changes far more often than a drill can be lifted
	Absent                  // the log has no work column, or nothing in it
)

var verdictWords = []string{"unsure", "agrees", "inverted", "stuck", "flickers", "absent"}

// String is the word used in documents.
func (v Verdict) String() string {
	if v < 0 || int(v) >= len(verdictWords) {
		return fmt.Sprintf("Verdict(%d)", int(v))
	}
	return verdictWords[v]
}

// MarshalText is String.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads one of the words.
func (v *Verdict) UnmarshalText(b []byte) error {
	return input.Word(v, b, verdictWords, "%q is no verdict on a work column")
}

// Attention tells whether a person must look at the switch.
func (v Verdict) Attention() bool { return v == Inverted || v == Stuck || v == Flickers }

// Agreement is what a recording says of its work column, and the seconds that it
// rests on. Seconds near a change of either count in none of the four: product
// is under way for 1 to 5 s.
type Agreement struct {
	Verdict     Verdict `json:"verdict"`      // whether the column goes with the flow
	Words       string  `json:"words"`        // the same in a sentence, with what to do
	DownFlowS   float64 `json:"down_flow_s"`  // column says in the ground, product flows, s
	DownStillS  float64 `json:"down_still_s"` // column says in the ground, nothing flows, s
	UpFlowS     float64 `json:"up_flow_s"`    // column says lifted, product flows, s
	UpStillS    float64 `json:"up_still_s"`   // column says lifted, nothing flows, s
	Changes     int     `json:"changes"`      // of the column
	FlowChanges int     `json:"flow_changes"` // starts and stops of the flow, flutter apart
}

// What a judgement needs: common practice, no source.
const (
	binS      = 1.0  // everything is judged by the second
	nearS     = 6.0  // to a change: product is under way, the switch has its delay
	stillBack = 3.0  // a stop or start shorter than this is flutter, s
	leastS    = 15.0 // of settled flow before anything is said
	stillS    = 5.0  // and of settled standstill, for a column to be right or turned round
	longS     = 30.0 // of flow while the column says lifted
	leastHz   = 0.5  // counts a second and port that are flow at all
	flipsTold = 4    // starts and stops of the flow that no hand at the controls explains

	mostWrong  = 0.8 // of the flow while it says lifted: inverted
	mostRight  = 0.2
	flickerMin = 6.0 // changes a minute that no drill makes
	flickerAll = 20  // and so many of them
)

// Agree judges the work column of a recording by its flow. timeS are the times
// of the samples, ascending, s; work is 1 in the ground, 0 lifted, NaN not
// known; counts are the particles of all ports together since the sample
// before, NaN where none reported; ports is how many there are. A short stop, a
// drill that stands lowered all the time, or one that never stopped prove
// nothing, and the answer says what would. A hole in the recording counts as no
// time at all: it is no standstill.
func Agree(timeS, work, counts []float64, ports int) Agreement {
	a := Agreement{Changes: changes(work)}
	if !slices.ContainsFunc(work, func(w float64) bool { return !math.IsNaN(w) }) {
		a.Verdict, a.Words = Absent, "The recording has no work column: whether the work-state switch is the right way round is not proved."
		return a
	}
	b, ok := bins(timeS, work, counts)
	if !ok {
		a.Words = fmt.Sprintf("The recording has too few samples, or they stand more than %.0f s apart: record once a second or faster, and raise and lower once, to prove the work-state switch.", coarseS)
		return a
	}
	flow, ok := b.flowing(ports)
	if !ok {
		a.Words = "Next to nothing flowed: record with product running, then raise and lower once, to prove the work-state switch."
		return a
	}
	a.FlowChanges = flips(flow)
	a.tally(b.work, flow)
	a.judge(float64(len(flow)) * binS)
	return a
}

// changes is how often a column changes, unknown samples left out.
func changes(work []float64) int {
	n, last := 0, math.NaN()
	for _, w := range work {
		if math.IsNaN(w) {
			continue
		}
		if !math.IsNaN(last) && w != last {
			n++
		}
		last = w
	}
	return n
}
