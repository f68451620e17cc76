package cli

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"runproof/drill"
	"runproof/fit"
	"runproof/review"
	"runproof/season"
	"runproof/simulate"
)

// The weeks after the demo's day: a bad opener until it is repaired, a sensor
// that comes loose, and what happens to any run now and then.
const (
	demoDays     = 12
	demoRepaired = 6 // day of the repair; the recording of that day is sound already
	demoBadRun   = drill.RunID("A-7")
	demoLooseRun = drill.RunID("D-9")
)

// replay plays the tuned rules over the day.
func (d *demoRun) replay() error {
	return d.do("replay", d.path("fit-proved.json"), d.path("day", "day.csv.gz"), "--rules", d.path("rules.json"), "--events", d.path("review", "events.json"), "-o", d.path("replay"))
}

// season records a dozen short days and puts them into one report with the
// baseline and the day before.
func (d *demoRun) season() error {
	f, _, err := d.s.ReadFit(d.path("fit-proved.json"))
	if err != nil {
		return err
	}
	for n := range demoDays {
		if err := d.shortDay(f, n); err != nil {
			return err
		}
	}
	err = d.do("season", d.path("fit-proved.json"), d.path("baseline", "baseline.csv.gz"), d.path("day", "day.csv.gz"), d.path("days", "*.csv.gz"),
		"--rules", d.path("rules.json"), "--repairs", d.path("repairs.yaml"), "-o", d.path("season"))
	if err != nil {
		return err
	}
	doc, err := readDocument(d.s, d.path("season", "season.json"), season.Read)
	if err != nil {
		return err
	}
	for _, o := range doc.Offenders {
		d.say("season", fmt.Sprintf("%s: %s", o.Place, demoCause(o)), fmt.Sprintf("stands out: %d of %d %s troubles", o.Count, o.Of, o.Trouble))
	}
	for _, r := range doc.Repairs {
		d.say("season", fmt.Sprintf("%s repaired on %s", r.Run, r.Date), r.Says)
	}
	return nil
}

// demoCause says what was made to happen to what stands out.
func demoCause(o season.Offender) string {
	switch o.Run {
	case demoBadRun:
		return "blocked twice a day until its repair"
	case demoLooseRun:
		return "sensor that comes loose"
	}
	return "nothing"
}

// shortDay records day n of the weeks after.
func (d *demoRun) shortDay(f *fit.Fit, n int) error {
	sc, err := readDocument(d.s, d.path("scenarios", "season.yaml"), simulate.Read)
	if err != nil {
		return err
	}
	first, err := time.Parse(time.RFC3339, sc.Start)
	if err != nil {
		return err
	}
	day := first.AddDate(0, 0, n)
	sc.Start, sc.Seed = day.Format(time.RFC3339), sc.Seed+uint64(n)
	sc.Faults = shortDayFaults(f, n)
	dir := d.path("days")
	if _, _, err := d.s.record(sc, f, dir, "csv.gz"); err != nil {
		return err
	}
	for from, to := range map[string]string{"day.csv.gz": ".csv.gz", "truth.json": ".truth.json"} {
		if err := os.Rename(filepath.Join(dir, from), filepath.Join(dir, day.Format(time.DateOnly)+to)); err != nil {
			return err
		}
	}
	return nil
}

// shortDayFaults are what happens on day n.
func shortDayFaults(f *fit.Fit, n int) []simulate.Fault {
	rng := rand.New(rand.NewPCG(uint64(n), 7))
	var out []simulate.Fault
	if n < demoRepaired {
		for _, at := range []float64{180, 720} {
			out = append(out, simulate.Fault{Kind: review.Blocked, Run: demoBadRun, AtS: at, ForS: 90, FallS: 1.5, Left: 0.04})
		}
	}
	if n > 4 && n%2 == 0 || n > 8 {
		out = append(out, simulate.Fault{Kind: review.SensorLost, Run: demoLooseRun, AtS: 420, ForS: 150})
	}
	if n%3 == 1 {
		run := f.Map[rng.IntN(len(f.Map))].Run
		if run != demoBadRun && run != demoLooseRun {
			out = append(out, simulate.Fault{Kind: review.Blocked, Run: run, AtS: 950, ForS: 100, FallS: 1.5, Left: 0.04})
		}
	}
	return out
}
