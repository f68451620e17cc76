package cli

import (
	"math"

	"runproof/drill"
	"runproof/flowlog"
)

// logInfo is the result document of log info.
type logInfo struct {
	Runproof string  `json:"runproof"` // loginfo/1
	Name     string  `json:"name"`
	SHA256   string  `json:"sha256"`
	Samples  int     `json:"samples"`
	Start    string  `json:"start"`
	End      string  `json:"end"`
	SpanS    float64 `json:"span_s"`

	IntervalS    float64 `json:"interval_s"`     // median; 0 for one sample
	Interval05S  float64 `json:"interval_05_s"`  // one in twenty is shorter
	Interval95S  float64 `json:"interval_95_s"`  // one in twenty is longer
	Gaps         int     `json:"gaps"`           // intervals longer than 1.5 medians
	LostSamples  int     `json:"lost_samples"`   // that they seem to have swallowed
	LongestGaps  []gap   `json:"longest_gaps"`   // at most ten, longest first
	Ports        []port  `json:"ports"`          // in the log's order
	MissingShare float64 `json:"missing_share"`  // of all ports' samples
	Work         *work   `json:"work,omitempty"` // when the log has it
	Position     *share  `json:"position,omitempty"`
	Sections     int     `json:"sections"` // columns of section states
	Others       int     `json:"others"`   // columns that mean nothing here

	UnknownPorts []string    `json:"unknown_ports,omitempty"` // not of the fit
	SparePorts   []string    `json:"spare_ports,omitempty"`   // of a node of the fit, with no run
	MissingRuns  []missing   `json:"missing_runs,omitempty"`  // of the fit, with no column
	Picture      []flowStrip `json:"picture"`
	Remarks      []remark    `json:"remarks"`          // what the reader met on the way
	Damage       string      `json:"damage,omitempty"` // what ended the reading too early
}

type gap struct {
	After   string  `json:"after"`
	LengthS float64 `json:"length_s"`
}

type port struct {
	Name    string      `json:"name"`
	Run     drill.RunID `json:"run,omitempty"`
	Missing float64     `json:"missing"` // share of samples not reported
	Total   float64     `json:"total"`   // particles
}

type work struct {
	Known    float64 `json:"known"`     // share of samples
	InGround float64 `json:"in_ground"` // share of those
}

type share struct {
	Known float64 `json:"known"` // share of samples
}

type missing struct {
	Run  drill.RunID `json:"run"`
	Port string      `json:"port"`
}

// flowStrip is one line of the picture; null where nothing was reported.
type flowStrip struct {
	Line string     `json:"line"`
	BinS float64    `json:"bin_s"`
	Mean []*float64 `json:"mean"` // count of one port in one sample
}

func newLogInfo(sum *flowlog.Summary, bound *flowlog.Binding) *logInfo {
	d := &logInfo{
		Runproof: "loginfo/1", Samples: sum.Samples,
		Start: sum.Clock.Format(sum.StartNS), End: sum.Clock.Format(sum.EndNS), SpanS: seconds(sum.EndNS - sum.StartNS),
		IntervalS:    seconds(sum.Intervals.QuantileNS(0.5)),
		Interval05S:  seconds(sum.Intervals.QuantileNS(0.05)),
		Interval95S:  seconds(sum.Intervals.QuantileNS(0.95)),
		MissingShare: sum.MissingShare(flowlog.Port),
		LongestGaps:  []gap{}, Ports: []port{}, Picture: []flowStrip{},
	}
	var longest []flowlog.Gap
	d.Gaps, d.LostSamples, longest = sum.Intervals.Gaps()
	for _, g := range longest {
		d.LongestGaps = append(d.LongestGaps, gap{sum.Clock.Format(g.AfterNS), seconds(g.LengthNS)})
	}
	d.columns(sum, bound)
	d.picture(sum.Strip)
	if bound != nil {
		d.compare(sum.Schema, bound)
	}
	return d
}

func seconds(ns int64) float64 { return float64(ns) / 1e9 }

// columns says what each column of the log holds.
func (d *logInfo) columns(sum *flowlog.Summary, bound *flowlog.Binding) {
	runs := map[int]drill.RunID{}
	if bound != nil {
		for _, r := range bound.Runs {
			runs[r.Column] = r.ID
		}
	}
	for i, c := range sum.Schema.Columns {
		part := sum.Columns[i]
		known := float64(part.Reported) / float64(sum.Samples)
		switch c.Kind {
		case flowlog.Port:
			d.Ports = append(d.Ports, port{c.Name, runs[i], 1 - known, part.Sum})
		case flowlog.Work:
			d.Work = &work{Known: known, InGround: part.Sum / math.Max(1, float64(part.Reported))}
		case flowlog.Lat:
			d.Position = &share{known}
		case flowlog.Section:
			d.Sections++
		}
	}
}

func (d *logInfo) compare(s flowlog.Schema, bound *flowlog.Binding) {
	for _, i := range bound.Unknown {
		d.UnknownPorts = append(d.UnknownPorts, s.Columns[i].Name)
	}
	for _, i := range bound.Spare {
		d.SparePorts = append(d.SparePorts, s.Columns[i].Name)
	}
	for _, r := range bound.Missing() {
		d.MissingRuns = append(d.MissingRuns, missing{r.ID, r.Port.String()})
	}
}

func (d *logInfo) picture(strip *flowlog.Strip) {
	for l, line := range strip.Lines {
		p := flowStrip{Line: line.Name, BinS: seconds(strip.BinNS)}
		for b := range strip.Bins {
			if m := strip.Mean(l, b); flowlog.IsMissing(m) {
				p.Mean = append(p.Mean, nil)
			} else {
				p.Mean = append(p.Mean, &m)
			}
		}
		d.Picture = append(d.Picture, p)
	}
}

// remarkable says that somebody should look at the log, or at the fit.
func (d *logInfo) remarkable() bool {
	for _, p := range d.Ports {
		if p.Missing == 1 {
			return true
		}
	}
	return len(d.UnknownPorts) > 0 || len(d.MissingRuns) > 0
}
