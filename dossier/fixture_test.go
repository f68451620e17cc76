package dossier

import (
	"fmt"
	"math"

	"runproof/alarm"
	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/review"
)

// fixture is a plain fit for a drill: each head has nodes of 12 ports for its
// own sensed runs. It stands in for the planner, which has tests of its own.
func fixture(d *drill.Drill) *fit.Fit {
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *d, Made: fit.Provenance{By: "runproof plan", From: []fit.Source{{Name: "drill.yaml", SHA256: "0f343b0931126a20f133d67c2b018a3b1a3f5a3e2a5b6c7d8e9f00112233445566"[:64]}}}}
	serial := 4101
	for _, id := range drill.HeadOrder(d) {
		h, _ := d.Head(id)
		var node *fit.Node
		port := 0
		for _, r := range d.Runs() {
			if r.Head != h.ID || !r.Sensed {
				continue
			}
			if node == nil || port == node.Ports {
				f.Nodes = append(f.Nodes, fit.Node{Serial: fmt.Sprint(serial), Part: "node-12", Ports: 12, Head: h.ID})
				node, port = &f.Nodes[len(f.Nodes)-1], 0
				serial++
			}
			port++
			f.Map = append(f.Map, fit.Link{Run: r.ID, Node: node.Serial, Port: port, TubeM: d.Sensing.SensorFromHeadM})
		}
	}
	f.Allocation = fit.Allocation{Nodes: len(f.Nodes), Pairs: len(f.Nodes), Optimal: true}
	return f
}

// fixtureDay is a made-up review of a morning: ten passes of 400 m, with an
// event of each kind. It stands in for the detectors, which have tests of
// their own; the numbers are invented.
func fixtureDay(f *fit.Fit) Day {
	const cells, cellS, start = 300, 20.0, int64(1778577330) // 2026-05-12 09:15:30 UTC
	res := &review.Result{Document: review.Document{Runproof: review.DocumentVersion}}
	res.Picture = review.Picture{StartNS: start * 1e9, CellS: cellS}
	at := func(cell float64) string { return flowlog.UTC.Format(start*1e9 + int64(cell*cellS*1e9)) }
	event := func(kind review.Kind, run drill.Run, node string, a, b, lost float64) {
		ev := review.Event{ID: len(res.Events) + 1, Kind: kind, Run: run.ID, Head: run.Head, Product: run.Product, Node: node, Start: at(a), End: at(b), Lost: lost, Metres: (b - a) * cellS * 2.2}
		ev.AreaM2 = ev.Metres * f.Drill.Rows.SpacingM
		ev.Sentence = fmt.Sprintf("%s fell to %.0f %% of its flow over %.0f m; its siblings rose by 8.9 %% (a blocked hose would give 9.1 %%, a dead sensor none): look at hose and opener first.", where(ev), 100*(1-lost), ev.Metres)
		res.Events = append(res.Events, ev)
	}
	var sensed []drill.Run
	for _, r := range f.Drill.Runs() {
		if _, ok := f.PortOf(r.ID); ok {
			sensed = append(sensed, r)
		}
	}
	if n := len(sensed); n > 0 {
		whole := sensed[n-1]
		event(review.Blocked, sensed[n/3], "", 21, 44, 0.97)
		event(review.Restricted, sensed[n/2], "", 100, 160, 0.45)
		event(review.SensorLost, sensed[n/5], "", 180, 299, 1)
		event(review.Noisy, sensed[2*n/3], "", 60, 66, 0)
		event(review.HeadStarved, drill.Run{Head: whole.Head, Product: whole.Product}, "", 220, 232, 0.6)
		event(review.ProductOut, drill.Run{Product: whole.Product}, "", 260, 263, 0.99)
		if ref, ok := f.PortOf(sensed[0].ID); ok {
			event(review.NoData, drill.Run{Product: sensed[0].Product}, ref.Node, 130, 145, 1)
		}
	}
	for i, r := range sensed {
		row := make([]review.Cell, cells)
		for c := range row {
			row[c] = review.Cell{Level: 1 + 0.03*math.Sin(float64(c*7+i*13)), Work: 1}
			if c%30 > 26 {
				row[c] = review.Cell{Level: math.NaN()}
			}
		}
		paint(row, r, res.Events, f, start, cellS)
		res.Picture.Runs = append(res.Picture.Runs, r.ID)
		res.Picture.Cells = append(res.Picture.Cells, row)
		ref, _ := f.PortOf(r.ID)
		rs := review.RunSummary{Run: r.ID, Product: r.Product, Head: r.Head, Row: r.Row, Node: ref.Node, Port: ref.Port, MeanShare: (1 + 0.15*math.Sin(float64(i*i))) / 12}
		for _, ev := range res.Events {
			if ev.Run == r.ID && ev.Kind.LosesSeed() {
				rs.LostMetres += ev.Metres
			}
		}
		res.Runs = append(res.Runs, rs)
	}
	for pass := range 10 {
		x := float64(pass) * f.Drill.WidthM()
		res.Track = append(res.Track, [][2]float64{{x, 0}, {x + 2, 200}, {x, 400}})
	}
	for _, ev := range res.Events[:min(2, len(res.Events))] {
		x, y := float64(ev.ID)*2.4*f.Drill.WidthM(), 120*float64(ev.ID)
		res.Skips = append(res.Skips, review.Strip{Event: ev.ID, Local: [][][][2]float64{{{{x, y}, {x + 0.25, y}, {x + 0.25, y + ev.Metres/10}, {x, y + ev.Metres/10}, {x, y}}}}})
	}
	res.Summary = review.Summary{
		Runproof: "summary/1", Drill: f.Drill.Name, FitRevision: f.Revision, Start: at(0), End: at(cells), Samples: 30000, IntervalS: 0.2,
		Hours: 1.6667, WorkHours: 1.5, WorkMetres: 11880, WorkHa: 14.256, SkipMetres: 512.4, SkipAreaM2: 128.1, Gaps: 2, GapS: 3.4, MissingShare: 0.0021,
		Lags: []review.ProductLags{{Product: "seed", StartS: 1.4, StopS: 2.2}}, WorkFrom: "the log's work column", SpeedFrom: "the log's speed column",
		MissingRuns: []drill.RunID{"A-1"}, Warnings: []string{"head A has one watched run: hose and sensor cannot be told apart by siblings"},
	}
	return Day{Fit: f, Review: res, Recording: "day.csv.zst"}
}

// paint lowers the cells of a run where an event concerns it.
func paint(row []review.Cell, r drill.Run, events []review.Event, f *fit.Fit, start int64, cellS float64) {
	ref, _ := f.PortOf(r.ID)
	for _, ev := range events {
		a, b := seconds(ev)
		in := ev.Run == r.ID || ev.Run == "" && (ev.Head == r.Head || ev.Head == "" && ev.Node == "" && ev.Product == r.Product || ev.Node == ref.Node)
		for c := int((a - float64(start)) / cellS); in && c < int((b-float64(start))/cellS); c++ {
			if row[c].Work > 0 && ev.Kind == review.NoData {
				row[c] = review.Cell{Level: math.NaN(), Work: 1, Gone: 1}
			} else if row[c].Work > 0 {
				row[c].Level *= 1 - ev.Lost
			}
		}
	}
}

// fixtureRules is a made-up tuning: false alarms fall tenfold for each sample
// of hold, missed metres grow with it; the numbers are invented.
func fixtureRules(f *fit.Fit) *alarm.Rules {
	r := &alarm.Rules{Runproof: alarm.Version, IntervalS: 0.2, SpeedMPS: 2.2, Allowed: 1, WorkHours: 0.48, Shares: map[drill.RunID]float64{}}
	for _, p := range f.Drill.Products {
		for i, floor := range []float64{0.3, 0.4, 0.5, 0.6} {
			for d := 3; d <= 18; d += 3 {
				hold := 0.2 * float64(d)
				blocked, half := 2.2*(1.5+hold), 2.2*(3+hold)*math.Pow(6, 3-float64(i))
				w := alarm.Working{Product: p.ID, Floor: floor, HoldS: hold, FalseAlarmsPerDay: math.Pow(10, float64(i)*1.2+2-float64(d)/3), Missed: alarm.Missed{Blocked: &blocked, Half: &half}}
				if i == 0 {
					w.Missed.Half = nil
				}
				r.Frontier = append(r.Frontier, w)
				if i == 1 && d == 12 {
					r.Rules = append(r.Rules, w)
					w.HoldS, w.Missed.Half = 3.4, nil
					r.OtherRules = append(r.OtherRules, alarm.OtherRule{Style: alarm.OfOwnMean, Rule: w, MeanS: 30}, alarm.OtherRule{Style: alarm.OfAllRuns, Rule: w})
				}
			}
		}
		best := 4.4
		r.Best = append(r.Best, alarm.Yardstick{Product: p.ID, Missed: alarm.Missed{Blocked: &best}})
		r.Totals = append(r.Totals, alarm.TotalLimit{Product: p.ID, Runs: 48, LowPct: 82, HighPct: 119, OneRunPct: 2.1, SeesPct: 18, Says: "One blocked run of 48 changes the total by nothing that this limit can see: the head gives its product to the others."})
		r.Validation = append(r.Validation, alarm.Validation{Product: p.ID, K: 3, Expected: 12.4, Observed: 15, Agrees: true}, alarm.Validation{Product: p.ID, K: 4, Expected: 1.2, Observed: 9})
	}
	r.Warnings = []string{"The rest of the recording has more low spells than the fit predicts: record longer, on ground like that to be sown."}
	return r
}
