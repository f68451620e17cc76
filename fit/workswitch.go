package fit

import "runproof/drill"

// WorkSwitch is how the monitor learns whether the drill is in the ground:
// which node carries the switch, where it is mounted, and which way round it
// works. The zero WorkSwitch is not planned. A pointer that is nil is a figure
// that is not known.
type WorkSwitch struct {
	Kind  SwitchKind  `json:"kind"`             // tilt sensor or contact
	Node  string      `json:"node"`             // serial of the node that it is plugged into
	Part  string      `json:"part"`             // of the catalogue; empty where it has none
	On    string      `json:"on"`               // what it is mounted on, in words
	At    drill.Point `json:"at_m"`             // near where that is
	LeadM float64     `json:"lead_m,omitempty"` // of its lead, m

	Work    WorkWay  `json:"work"`             // which way round is "in the ground"
	WorkDeg *float64 `json:"work_deg"`         // angle of what it is mounted on in the ground, degrees, nose up positive
	UpDeg   *float64 `json:"raised_deg"`       // the same with the drill raised
	RaiseAt *float64 `json:"raise_at_deg"`     // past this it is raised
	LowerAt *float64 `json:"lower_at_deg"`     // past this it is in the ground
	HoldS   float64  `json:"hold_s,omitempty"` // beyond the threshold for so long before the state changes, s

	Options []SwitchOption `json:"options"` // best first: Options[0] is the plan
}

// SwitchOption is one place for the switch.
type SwitchOption struct {
	On      string   `json:"on"`                // "arm of the parallel linkage"
	SpanDeg *float64 `json:"span_deg"`          // between raised and in the ground, degrees
	NeedDeg float64  `json:"need_deg"`          // half of the span must be more than this: slope, hysteresis and mounting error
	Usable  bool     `json:"usable"`            // its angle is known and large enough, or it needs none
	Words   string   `json:"words"`             // what speaks for and against it
	Typical string   `json:"typical,omitempty"` // what the angle usually is where this one's is not known
}
