package walk

import (
	"io"

	"runproof/drill"
	"runproof/fit"
	"runproof/input/jsondoc"
	"runproof/workstate"
)

// Version is the document version this package writes.
const Version = "proof/1"

// Proof is what a walk says of every sensed run: the proof document.
type Proof struct {
	Runproof string         `json:"runproof"` // Version
	Made     fit.Provenance `json:"made"`
	Method   Method         `json:"method"`
	// ClockOffsetS is the recorder's time minus the marks' time, s; null for a
	// walk without marks. A habit of the person, such as marking when the hose
	// is half shut, is part of it.
	ClockOffsetS *float64 `json:"clock_offset_s"`
	Clock        *Clock   `json:"clock,omitempty"`
	Runs         []Run    `json:"runs"`  // in the order of the fit's map
	Moves        []Move   `json:"moves"` // the fewest that restore the plan, in an order that can be done
	// NotInFit are ports of the recording that the fit does not know, NotInLog
	// ports of the fit that the recording lacks.
	NotInFit []fit.PortRef `json:"not_in_fit,omitempty"`
	NotInLog []fit.PortRef `json:"not_in_log,omitempty"`
	// WorkState is whether the recording's work column goes with its flow; absent
	// where the recording has no such column.
	WorkState *workstate.Agreement `json:"work_state,omitempty"`
	Notes     []string             `json:"notes,omitempty"`
}

// Clock is how sure the clock offset is.
type Clock struct {
	StandardErrorS float64  `json:"standard_error_s"`      // of the offset, from the scatter of the marks
	ScatterS       float64  `json:"scatter_s"`             // standard deviation of one mark about its reaction
	RunnerUpS      *float64 `json:"runner_up_s,omitempty"` // next best offset
	RunnerUpOdds   float64  `json:"runner_up_probability"` // of all others together
}

// Run is what the walk says of one run.
type Run struct {
	Run        drill.RunID   `json:"run"`
	Planned    fit.PortRef   `json:"planned"`
	Found      *fit.PortRef  `json:"found,omitempty"` // the port that reacted
	Also       []fit.PortRef `json:"also,omitempty"`  // others that reacted with it
	Verdict    Verdict       `json:"verdict"`
	Confidence float64       `json:"confidence"` // probability of the verdict; for unsure, of the likeliest
	Reason     string        `json:"reason"`
	Evidence   *Evidence     `json:"evidence,omitempty"`
}

// Evidence is what a verdict rests on.
type Evidence struct {
	Start   string  `json:"start,omitempty"` // when the reaction starts, in the log's form of time
	LengthS float64 `json:"length_s,omitempty"`
	// Left is the part of its usual count that the port had during a pinch,
	// AddedHz what it counted on top during a tap, particles/s.
	Left     *float64     `json:"left,omitempty"`
	AddedHz  *float64     `json:"added_hz,omitempty"`
	Nats     float64      `json:"nats"`              // ln likelihood ratio: the port reacted, or did not
	Planned  float64      `json:"planned_nats"`      // the same for the planned port
	Rival    *fit.PortRef `json:"rival,omitempty"`   // next best port
	RivalOdd float64      `json:"rival_probability"` // its probability
	startS   float64
}

// Move is one tube to move: From and To are ports. Loose says that To is still
// taken when the move's turn comes: take that tube off first and leave it
// loose; its own move follows.
type Move struct {
	Run   drill.RunID `json:"run"`
	From  fit.PortRef `json:"from"`
	To    fit.PortRef `json:"to"`
	Words string      `json:"words"`
}

// AllAsPlanned says that every sensed run is proved as planned.
func (p *Proof) AllAsPlanned() bool {
	for _, r := range p.Runs {
		if r.Verdict != AsPlanned {
			return false
		}
	}
	return true
}

// Count is the number of runs with the verdict.
func (p *Proof) Count(v Verdict) int {
	n := 0
	for _, r := range p.Runs {
		if r.Verdict == v {
			n++
		}
	}
	return n
}

// Read reads a proof document; name is the file's name for messages.
func Read(r io.Reader, name string) (*Proof, error) {
	var p Proof
	form := jsondoc.Form{What: "a proof", Version: Version, Command: "runproof prove"}
	if err := jsondoc.Read(r, name, form, &p, &p.Runproof); err != nil {
		return nil, err
	}
	return &p, nil
}

// Write writes the proof as indented JSON with a final newline, the same bytes
// for the same proof.
func (p *Proof) Write(w io.Writer) error {
	return jsondoc.Write(w, p)
}
