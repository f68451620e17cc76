package simulate

import (
	"io"
	"math"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input/jsondoc"
	"runproof/review"
)

// Truth is what really happened: truth.json beside a recording.
type Truth struct {
	Runproof     string       `json:"runproof"` // "truth/1"
	Kind         Kind         `json:"kind"`
	Seed         uint64       `json:"seed"`
	IntervalS    float64      `json:"interval_s"`
	ClockOffsetS float64      `json:"clock_offset_s"` // of a walk: recorder time minus marks' time
	Law          Law          `json:"law"`
	Runs         []RunTruth   `json:"runs"`
	Events       []EventTruth `json:"events"`

	Restarts []RestartTruth `json:"restarts,omitempty"` // of nodes, at random
}

// RestartTruth is a node's restart, during which it reported nothing.
type RestartTruth struct {
	Node  string `json:"node"`
	Start string `json:"start"`
	End   string `json:"end"`
}

// RunTruth is one sensed run.
type RunTruth struct {
	Run       drill.RunID  `json:"run"`
	Planned   fit.PortRef  `json:"planned"`
	Found     *fit.PortRef `json:"found"` // port that its hose really reaches; null = no living sensor
	Also      *fit.PortRef `json:"also,omitempty"`
	Verdict   string       `json:"verdict,omitempty"`
	Gain      float64      `json:"gain"`
	Share     float64      `json:"share"`      // of its head's counts
	PerS      float64      `json:"per_s"`      // usual count per second
	FlowPerS  float64      `json:"flow_per_s"` // particles per second past its opener at the same time
	PinchedAt string       `json:"pinched_at,omitempty"`
	Fading    float64      `json:"fading,omitempty"` // part of its count that the sensor lost in an hour
}

// EventTruth is one fault as it was made.
type EventTruth struct {
	Run     drill.RunID     `json:"run"`
	Head    drill.HeadID    `json:"head"`
	Product drill.ProductID `json:"product"`
	Node    string          `json:"node,omitempty"`
	Kind    review.Kind     `json:"kind"`
	Start   string          `json:"start"`
	End     string          `json:"end"`
	Lost    float64         `json:"lost"`    // part of the product; 0 of kinds that lose none
	Metres  float64         `json:"metres"`  // in work
	AreaM2  float64         `json:"area_m2"` // ground that went short of product and that no other pass went over; where two faults overlap, of each
}

// Write writes the truth as indented JSON.
func (t *Truth) Write(w io.Writer) error {
	return jsondoc.Write(w, t)
}

// events fills in place and time of each fault.
func (s *Scenario) events(f *fit.Fit, start startTime, workM func(t float64) float64, bareM2 func(*Fault) float64) []EventTruth {
	out := []EventTruth{}
	for i := range s.Faults {
		ft := &s.Faults[i]
		ev := EventTruth{
			Kind: ft.Kind, Run: ft.Run, Head: ft.Head, Product: ft.Product, Node: ft.Node, Lost: ft.lost(),
			Start: start.at(ft.AtS), End: start.at(ft.AtS + ft.ForS),
			Metres: math.Round(100*(workM(ft.AtS+ft.ForS)-workM(ft.AtS))) / 100,
			AreaM2: bareM2(ft),
		}
		for _, r := range f.Drill.Runs() {
			if r.ID == ft.Run {
				ev.Head, ev.Product = r.Head, r.Product
			}
		}
		if h, ok := f.Drill.Head(ft.Head); ok {
			ev.Product = h.Product
		}
		out = append(out, ev)
	}
	return out
}

func (s startTime) at(t float64) string { return s.clock.Format(s.ns + int64(math.Round(t*1e9))) }

// schema is the head of the recording.
func (s *Scenario) schema(f *fit.Fit, clock flowlog.Clock, position, field bool) flowlog.Schema {
	sch := flowlog.Schema{Clock: clock}
	for _, l := range f.Map {
		sch.Columns = append(sch.Columns, flowlog.PortColumn(l.Ref()))
	}
	add := func(name string) { sch.Columns = append(sch.Columns, flowlog.ColumnNamed(name)) }
	if !field {
		return sch
	}
	if position {
		add("lat")
		add("lon")
		add("course")
	}
	if !s.Recorder.NoSpeed {
		add("speed")
	}
	if !s.Recorder.NoWork {
		add("work")
	}
	for _, sec := range f.Drill.Sections {
		sch.Columns = append(sch.Columns, flowlog.SectionColumn(sec.ID))
	}
	return sch
}
