package review

import (
	"fmt"
	"math"
	"slices"

	"runproof/counts"
	"runproof/drill"
	"runproof/flowlog"
	"runproof/measure"
)

// Result is everything a review finds.
type Result struct {
	Document
	Summary Summary
	Runs    []RunSummary
	Skips   []Strip
	Ground  *GroundSummary // nil where no position was recorded
	Picture Picture
	Track   [][][2]float64 // where the drill worked: its front rank's middle, east and north, metres from the first fix
}

// Summary is summary.json.
type Summary struct {
	Runproof       string            `json:"runproof"` // "summary/1"
	Drill          string            `json:"drill"`
	FitRevision    int               `json:"fit_revision"`
	Start          string            `json:"start"`
	End            string            `json:"end"`
	Samples        int               `json:"samples"`
	IntervalS      float64           `json:"interval_s"`
	Hours          float64           `json:"hours"`
	WorkHours      float64           `json:"work_hours"`
	WorkMetres     float64           `json:"work_metres"`
	WorkHa         float64           `json:"work_ha"`
	Events         map[string]int    `json:"events"`       // by kind
	SkipMetres     float64           `json:"skip_metres"`  // of row, where product was lost
	SkipAreaM2     float64           `json:"skip_area_m2"` // ground short of a product and not sown by another pass, each place once for each product
	Ground         *GroundSummary    `json:"ground,omitempty"`
	Gaps           int               `json:"gaps"`  // in the recording
	GapS           float64           `json:"gap_s"` // their total
	MissingShare   float64           `json:"missing_share"`
	Lags           []ProductLags     `json:"lags"`
	WorkFrom       string            `json:"work_from"`            // where the work state came from
	SpeedFrom      string            `json:"speed_from"`           // where speed came from
	DeadTimes      []DeadTime        `json:"dead_times,omitempty"` // of the counters, where the day tells
	UnknownPorts   []string          `json:"unknown_ports"`
	MissingRuns    []drill.RunID     `json:"missing_runs"`
	UnwatchedHeads map[string]string `json:"unwatched,omitempty"`
	Warnings       []string          `json:"warnings"`
}

// ProductLags are the lags found in the log, seconds, with their margin.
type ProductLags struct {
	Product drill.ProductID `json:"product"`
	StartS  float64         `json:"start_s"`
	StopS   float64         `json:"stop_s"`
}

// RunSummary is one line of runs.csv.
type RunSummary struct {
	Run            drill.RunID
	Product        drill.ProductID
	Head           drill.HeadID
	Row            int
	Node           string
	Port           int
	Share          float64 // usual share of the head's counts
	MeanShare      float64 // share over the whole day in settled work
	RateHz         float64 // usual count per second in work
	VarianceToMean float64
	QuietHz        float64 // counts per second while nothing flowed
	WorkS          float64
	MissingShare   float64
	Events         int
	LostMetres     float64
	LostAreaM2     float64
}

// tally counts over the day what no detector needs.
type tally struct {
	intervalS            float64
	n, gaps              int
	gapS, workS, spanS   float64
	x, total, work, seen []float64 // by run
	missing, quietX      []float64
	quietS               []float64
}

func (t *tally) samples(b *flowlog.Batch, last int64) {
	for _, ns := range b.TimeNS {
		if t.n > 0 {
			dt := float64(ns-last) / 1e9
			t.spanS += dt
			if dt > max(3*t.intervalS, 1.5) {
				t.gaps++
				t.gapS += dt
			}
		}
		t.n, last = t.n+1, ns
	}
}

func (t *tally) begin(n int) {
	t.x, t.total, t.work, t.seen = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	t.missing, t.quietX, t.quietS = make([]float64, n), make([]float64, n), make([]float64, n)
}

func (t *tally) frame(f *frame, d *detector) {
	if t.x == nil {
		t.begin(len(d.runs))
	}
	if f.work {
		t.workS += f.durS
	}
	for _, i := range f.short {
		t.missing[i] += float64(f.lost[i])
	}
	for _, i := range d.slow {
		t.seen[i] += float64(f.samples)
		if d.ok[i] {
			t.work[i] += f.durS
			if l := d.now.level[d.in.runs[i].head]; l > 0 {
				t.x[i], t.total[i] = t.x[i]+d.now.x[i], t.total[i]+l
			}
		}
		if d.phase.off(i) > d.k.lagOffS[i] {
			t.quietX[i] += f.x[i]
			t.quietS[i] += f.durS
		}
	}
}

func (s *session) result() *Result {
	res := &Result{Document: Document{Runproof: DocumentVersion, Events: []Event{}}, Picture: s.pic.result()}
	s.det.dead = s.deadTimes(s.det.begun())
	spells := s.det.finish()
	for i, sp := range spells {
		res.Events = append(res.Events, s.event(sp, i+1))
	}
	var shortM2 float64
	res.Ground, res.Skips, shortM2 = s.lay(res.Events, spells)
	for i, sp := range spells {
		res.Events[i].Sentence = sentence(&res.Events[i], sp, len(s.rows(sp)))
	}
	res.Findings = s.findings(spells)
	res.Runs = s.runSummaries(res.Events)
	res.Summary = s.summary(res)
	res.Summary.SkipAreaM2, res.Summary.Ground = measure.Round(shortM2, 1), res.Ground
	res.Track = s.driven()
	return res
}

// rows are the rows that the spell concerns, each once; closed runs are not
// among them, as they are not watched.
func (s *session) rows(sp *spell) []int {
	var rows []int
	for i, r := range s.in.runs {
		if s.in.concerns(sp, i) && !slices.Contains(rows, r.Row) {
			rows = append(rows, r.Row)
		}
	}
	return rows
}

func (s *session) event(sp *spell, id int) Event {
	ev := Event{
		ID: id, Kind: sp.kind, StartNS: sp.startNS, EndNS: sp.endNS,
		Start: s.in.clock.Format(sp.startNS), End: s.in.clock.Format(sp.endNS),
		Metres: measure.Round(sp.wayM(), 2),
		Open:   s.lastNS-sp.endNS < 5e9,
	}
	if sp.run >= 0 {
		ev.Run = s.in.runs[sp.run].ID
	}
	if sp.kind == NoData && len(s.in.nodes[sp.node].runs) == 1 {
		ev.Run = s.in.runs[s.in.nodes[sp.node].runs[0]].ID // node or sensor: the log cannot tell
	}
	if sp.head >= 0 {
		ev.Head = s.in.heads[sp.head].id
	}
	if sp.product >= 0 {
		ev.Product = s.in.products[sp.product].id
	}
	if sp.node >= 0 {
		ev.Node = s.in.nodes[sp.node].serial
	}
	ev.AreaM2 = measure.Round(ev.Metres*s.in.fit.Drill.Rows.SpacingM*float64(len(s.rows(sp))), 2)
	ev.Lost = measure.Round(s.lost(sp), 4)
	ev.Evidence = s.evidence(sp)
	if sp.flick != nil {
		ev.Intermittent = sp.flick.intermittent()
	}
	return ev
}

// lost is the part of the flow lost, or for a blind sensor of the reading.
func (s *session) lost(sp *spell) float64 {
	switch {
	case sp.kind == Noisy:
		return 0
	case sp.e == 0 && sp.allE == 0:
		return 1
	case sp.kind == Blocked || sp.kind == Restricted:
		return clamp01(1 - s.det.left(sp))
	}
	return clamp01(1 - sp.fraction())
}

func clamp01(v float64) float64 { return min(1, max(0, v)) }

func (s *session) evidence(sp *spell) Evidence {
	ev := Evidence{LogLikelihoodRatio: measure.Round(sp.llr, 1), Assumed: sp.assumed}
	if sp.run < 0 {
		return ev
	}
	ev.ExpectedCount, ev.SeenCount = measure.Round(sp.allE, 1), measure.Round(sp.allX, 1)
	ev.VarianceToMean = measure.Round(s.k.overdisp[sp.run], 3)
	ev.Before, ev.After = sp.before.evidence(), sp.after.evidence()
	if sp.fall == nil && sp.flick == nil {
		return ev
	}
	w := s.det.hoseOdds(sp)
	if w.known {
		ev.SiblingRise, ev.SiblingRiseSE = ptr(measure.Round(math.Expm1(w.rise), 4)), ptr(measure.Round(w.riseSE, 4))
		ev.SiblingRiseLow, ev.SiblingRiseHigh = ptr(measure.Round(math.Expm1(w.rise-1.96*w.riseSE), 4)), ptr(measure.Round(math.Expm1(w.rise+1.96*w.riseSE), 4))
		ev.ExpectedRise, ev.Against = ptr(measure.Round(math.Expm1(w.expected), 4)), referenceWords[w.against]
	}
	ev.KindLogOdds = ptr(measure.Round(w.odds, 2))
	return ev
}

func ptr(v float64) *float64 { return &v }

func (s *session) runSummaries(events []Event) []RunSummary {
	out := make([]RunSummary, len(s.in.runs))
	for i, r := range s.in.runs {
		t := &s.tally
		rs := RunSummary{
			Run: r.ID, Product: r.Product, Head: r.Head, Row: r.Row, Node: r.port.Node, Port: r.port.Port,
			Share: s.k.share[i], RateHz: s.k.rateHz[i], VarianceToMean: s.k.overdisp[i],
		}
		if t.x != nil {
			rs.MeanShare, rs.WorkS = ratio(t.x[i], t.total[i]), t.work[i]
			rs.QuietHz, rs.MissingShare = ratio(t.quietX[i], t.quietS[i]), ratio(t.missing[i], t.seen[i])
		}
		for _, ev := range events {
			if ev.Run != r.ID {
				continue
			}
			rs.Events++
			if ev.Kind.LosesSeed() {
				rs.LostMetres, rs.LostAreaM2 = rs.LostMetres+ev.Metres, rs.LostAreaM2+ev.AreaM2
			}
		}
		out[i] = rs
	}
	return out
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

func (s *session) summary(res *Result) Summary {
	d, t := &s.in.fit.Drill, &s.tally
	sum := Summary{
		Runproof: "summary/1", Drill: d.Name, FitRevision: s.in.fit.Revision,
		Start: s.in.clock.Format(s.firstNS), End: s.in.clock.Format(s.lastNS), Samples: t.n, IntervalS: t.intervalS,
		Hours: measure.Round(t.spanS/3600, 4), WorkHours: measure.Round(t.workS/3600, 4), WorkMetres: measure.Round(s.det.distM, 1),
		WorkHa: measure.Round(s.det.distM*d.WidthM()/1e4, 3), Events: map[string]int{}, Gaps: t.gaps, GapS: measure.Round(t.gapS, 1),
		UnknownPorts: orEmpty(s.in.unknownPorts), MissingRuns: orEmpty(s.in.missingRuns), Warnings: []string{},
	}
	for _, k := range Kinds() {
		sum.Events[k.String()] = 0
	}
	for _, ev := range res.Events {
		sum.Events[ev.Kind.String()]++
		if ev.Kind.LosesSeed() && ev.Run != "" {
			sum.SkipMetres += ev.Metres
		}
	}
	sum.SkipMetres = measure.Round(sum.SkipMetres, 1)
	var missing, seen float64
	for i := range t.seen {
		missing, seen = missing+t.missing[i], seen+t.seen[i]
	}
	sum.MissingShare = measure.Round(ratio(missing, seen), 6)
	for p, pr := range s.in.products {
		sum.Lags = append(sum.Lags, s.productLags(p, pr.id))
	}
	sum.DeadTimes = s.deadTimeSummary()
	s.sources(&sum)
	s.warn(&sum)
	return sum
}

func orEmpty[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}

func (s *session) productLags(p int, id drill.ProductID) ProductLags {
	var on, off []float64
	for i, r := range s.in.runs {
		if r.product == p {
			on, off = append(on, s.k.lagOnS[i]), append(off, s.k.lagOffS[i])
		}
	}
	return ProductLags{Product: id, StartS: measure.Round(counts.Quantile(on, 0.5), 2), StopS: measure.Round(counts.Quantile(off, 0.5), 2)}
}

func (s *session) sources(sum *Summary) {
	sum.WorkFrom, sum.SpeedFrom = "the log's work column", "the log's speed column"
	if s.in.work < 0 {
		sum.WorkFrom = "flow: the log has no work column"
	}
	if s.in.speed < 0 {
		sum.SpeedFrom = "the drill's usual working speed: the log has neither speed nor position"
		if s.in.lat >= 0 && s.in.lon >= 0 {
			sum.SpeedFrom = "successive positions"
		}
	}
}

func (s *session) warn(sum *Summary) {
	if s.heldTooShort() {
		sum.Warnings = append(sum.Warnings, "less than two minutes of settled work: shares rest on little, and a fault that lasts all the time cannot be told from a sensor's gain")
	}
	for i, why := range s.k.assumed {
		if why != "" {
			sum.Warnings = append(sum.Warnings, string(s.in.runs[i].ID)+": "+why)
		}
	}
	for _, h := range s.in.heads {
		if len(h.runs) == 1 {
			sum.Warnings = append(sum.Warnings, "head "+string(h.id)+" has one watched run: hose and sensor cannot be told apart by siblings")
		}
	}
	for _, d := range sum.DeadTimes {
		if d.Used {
			sum.Warnings = append(sum.Warnings, fmt.Sprintf("%s: counters miss what follows within %.2g ms (%.2g to %.2g) of a particle; losses are corrected for that", d.Product, d.MS, d.LowMS, d.HighMS))
		}
	}
	if len(sum.UnknownPorts) > 0 {
		sum.Warnings = append(sum.Warnings, "the log has ports that the fit does not know; see unknown_ports")
	}
	if len(sum.MissingRuns) > 0 {
		sum.Warnings = append(sum.Warnings, "the log lacks ports of the fit; see missing_runs")
	}
}

func (s *session) heldTooShort() bool { return s.tally.workS < 120 }
