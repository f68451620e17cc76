package cli

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"runproof/alarm"
	"runproof/check"
	"runproof/cost"
	"runproof/demo"
	"runproof/dossier"
	"runproof/drawing"
	"runproof/drawing/svg"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/input"
	"runproof/review"
	"runproof/simulate"
	"runproof/views"
	"runproof/walk"
)

type demoCmd struct {
	Dir string `arg:"" default:"demo-out" help:"Folder for all documents."`
}

func (*demoCmd) Help() string {
	return "Goes through the whole job on an invented drill: plan, kit, quote, sheets for the yard, a walk with two swapped hoses and a dead sensor, the walk again after repair, " +
		"a catch test in bags, alarm rules, a field day with eight faults, the dossier. Everything is computed by the same functions as the commands.\n\n" +
		"Example: runproof demo demo-out"
}

// demoRun is the demo under way: where things are, and what to say at the end.
type demoRun struct {
	s     *Shell
	dir   string
	rows  [][3]string  // stage, what was made to happen, what was found
	rules *alarm.Rules // once tuned
	day   dossier.Day  // once reviewed

	outlets map[drill.ProductID]float64 // true CV across runs in the yard

	now    func() time.Time // the ledger's clock and chance: the demo gives the same bytes each time
	chance io.Reader
}

func (c *demoCmd) Run(s *Shell) error {
	d := &demoRun{s: s, dir: c.Dir, now: demoClock(), chance: rand.NewChaCha8([32]byte{6})}
	if err := d.unpack(); err != nil {
		return err
	}
	stages := []struct {
		what string
		fn   func() error
	}{
		{"plan the fit", d.plan},
		{"kit, quote, sheets for the yard", d.papers},
		{"walk the yard and prove", d.firstWalk},
		{"repair, walk again, prove", d.secondWalk},
		{"catch in bags, calibrate the sensors", d.catch},
		{"tune the alarms from a baseline", d.tune},
		{"review a field day", d.review},
		{"play the rules over the day", d.replay},
		{"the day as others record it", d.recorders},
		{"the weeks after, in one report", d.season},
		{"print the dossier", d.dossier},
		{"keep it in the ledger, pack the job", d.ledger},
		{"draw the pictures", d.pictures},
	}
	for i, st := range stages {
		from := time.Now()
		if err := st.fn(); err != nil {
			return err
		}
		s.Warn("%d/%d %-36s %4.1f s", i+1, len(stages), st.what, time.Since(from).Seconds())
	}
	return d.close()
}

func (d *demoRun) path(parts ...string) string {
	return filepath.Join(append([]string{d.dir}, parts...)...)
}

// unpack writes the demo job's own files, so that every step can be done again
// by hand.
func (d *demoRun) unpack() error {
	if err := d.s.makeDir(d.path("scenarios")); err != nil {
		return err
	}
	return fs.WalkDir(demo.Files, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		b, err := demo.Files.ReadFile(name)
		if err != nil {
			return err
		}
		to := d.path(name)
		if slices.Contains(scenarios, name) {
			to = d.path("scenarios", name)
		}
		return d.s.WriteFile(to, func(w io.Writer) error { _, err := w.Write(b); return err })
	})
}

// scenarios are the demo's files that say what a recording shall hold.
var scenarios = []string{"walk.yaml", "walk-again.yaml", "catch.yaml", "baseline.yaml", "day.yaml", "season.yaml"}

// command runs one command as the command line would, and returns its exit
// status and what it said.
func (d *demoRun) command(args ...string) (status int, said string, err error) {
	var out, errs bytes.Buffer
	sub := &Shell{In: strings.NewReader(""), Out: &out, Err: &errs, Now: d.now, Chance: d.chance}
	status = sub.main(args)
	if status == ExitInput {
		return status, "", input.Fault{What: "runproof " + strings.Join(args, " ") + ": " + strings.TrimSpace(errs.String())}
	}
	return status, out.String(), nil
}

// do runs a command that may only end in done or attention.
func (d *demoRun) do(args ...string) error {
	_, _, err := d.command(args...)
	return err
}

func (d *demoRun) plan() error {
	if err := d.do("drill", "check", d.path("drill.yaml")); err != nil {
		return err
	}
	if err := d.do("plan", d.path("drill.yaml"), "--serials", d.path("serials.txt"), "--parts", d.path("prices.yaml"), "-o", d.path("fit.json")); err != nil {
		return err
	}
	f, _, err := d.s.ReadFit(d.path("fit.json"))
	if err != nil {
		return err
	}
	proved := "optimum not proved"
	if f.Allocation.Optimal {
		proved = "proved optimal"
	}
	d.say("plan", fmt.Sprintf("%d runs of %d heads to sense", len(f.Map), len(f.Drill.Heads)),
		fmt.Sprintf("%d nodes, %.1f m of tube, %s", f.Allocation.Nodes, f.Allocation.TubeM, proved))
	low := math.Inf(1)
	for _, c := range f.Power {
		for _, v := range c.Volts {
			low = math.Min(low, v)
		}
	}
	d.say("plan", fmt.Sprintf("%d rules", len(f.Checks)), fmt.Sprintf("%d kept, %d tight, %d broken, %d without a figure", f.Checks.Count(check.Kept), f.Checks.Count(check.Tight), f.Checks.Count(check.Broken), f.Checks.Count(check.Unknown)))
	d.say("plan", fmt.Sprintf("harness of %d legs, bus of %.1f m", len(f.Harness.Legs), f.Harness.BusM), fmt.Sprintf("at least %.2f V at every box, fuse %g A", low, f.Protection.RatingA))
	return d.do("map", d.path("fit.json"), "-o", d.path("map.csv"))
}

// papers are what goes to the customer, to the workbench and into the yard.
func (d *demoRun) papers() error {
	for _, args := range [][]string{
		{"kit", d.path("fit.json"), "--parts", d.path("prices.yaml"), "--stock", d.path("stock.csv"), "-o", d.path("kit.xlsx")},
		{"quote", d.path("fit.json"), "--parts", d.path("prices.yaml"), "--settings", d.path("dealer.yaml"), "-o", d.path("quote.pdf")},
		{"sheets", d.path("fit.json"), "--parts", d.path("prices.yaml"), "-o", d.path("sheets")},
	} {
		if err := d.do(args...); err != nil {
			return err
		}
	}
	return nil
}

func (d *demoRun) say(stage, made, found string) {
	d.rows = append(d.rows, [3]string{stage, made, found})
}

// walk records a scenario's walk and proves it.
func (d *demoRun) walk(scenario, dir string, more ...string) (*walk.Proof, *simulate.Truth, error) {
	truth, err := d.record(scenario, "fit.json", dir)
	if err != nil {
		return nil, nil, err
	}
	args := append([]string{"prove", d.path("fit.json"), d.path(dir, "walk.csv.gz"), "--marks", d.path(dir, "marks.csv"), "-o", d.path(dir, "proof.json")}, more...)
	if err := d.do(args...); err != nil {
		return nil, nil, err
	}
	p, err := readDocument(d.s, d.path(dir, "proof.json"), walk.Read)
	return p, truth, err
}

// record makes the log of a scenario.
func (d *demoRun) record(scenario, fitFile, dir string) (*simulate.Truth, error) {
	f, _, err := d.s.ReadFit(d.path(fitFile))
	if err != nil {
		return nil, err
	}
	sc, err := readDocument(d.s, d.path("scenarios", scenario), simulate.Read)
	if err != nil {
		return nil, err
	}
	truth, _, err := d.s.record(sc, f, d.path(dir), "csv.gz")
	return truth, err
}

func (d *demoRun) firstWalk() error {
	p, truth, err := d.walk("walk.yaml", "walk-1")
	if err != nil {
		return err
	}
	for _, t := range truth.Runs {
		if t.Verdict == "as_planned" || t.Verdict == "not_walked" {
			continue
		}
		made := fmt.Sprintf("%s: %s", t.Run, strings.ReplaceAll(t.Verdict, "_", " "))
		if t.Found != nil {
			made += " to " + t.Found.String()
		}
		found := "not found"
		for _, r := range p.Runs {
			if r.Run != t.Run {
				continue
			}
			found = strings.ReplaceAll(r.Verdict.String(), "_", " ")
			if r.Found != nil {
				found += " to " + r.Found.String()
			}
			found += fmt.Sprintf(", %.2f %% sure", 100*r.Confidence)
		}
		d.say("prove", made, found)
	}
	for _, m := range p.Moves {
		d.say("prove", "", "to do: "+m.Words)
	}
	return nil
}

func (d *demoRun) secondWalk() error {
	p, _, err := d.walk("walk-again.yaml", "walk-2", "--write", d.path("fit-proved.json"))
	if err != nil {
		return err
	}
	d.say("prove again", fmt.Sprintf("hoses changed over, sensor exchanged: %d runs walked", walkedRuns(p)), fmt.Sprintf("%d as planned", p.Count(walk.AsPlanned)))
	return nil
}

func walkedRuns(p *walk.Proof) int { return len(p.Runs) - p.Count(walk.NotWalked) }

// catch weighs bags, and calibrates the sensors by what they counted meanwhile.
func (d *demoRun) catch() error {
	truth, err := d.record("catch.yaml", "fit-proved.json", "catch")
	if err != nil {
		return err
	}
	if err := d.do("catch", d.path("fit-proved.json"), "--form", d.path("catch", "form.pdf")); err != nil {
		return err
	}
	if err := d.do("catch", d.path("fit-proved.json"), d.path("catch", "bags.csv"), "--log", d.path("catch", "catch.csv.gz"), "--day", "2026-04-22",
		"--gains", d.path("gains.json"), "--pdf", d.path("catch", "catch.pdf"), "--svg", d.path("catch.svg"), "-o", d.path("catch", "catch.json")); err != nil {
		return err
	}
	c, err := readDocument(d.s, d.path("catch", "catch.json"), evenness.ReadCatch)
	if err != nil {
		return err
	}
	f, _, err := d.s.ReadFit(d.path("fit-proved.json"))
	if err != nil {
		return err
	}
	d.outlets = flowCVs(f, truth)
	for _, p := range c.Products {
		d.say("catch", fmt.Sprintf("%s: outlets' own CV %.2f %%", p.Product, 100*d.outlets[p.Product]), "between runs "+p.Parts.Between.Percent())
	}
	return nil
}

// flowCVs are how unevenly particles went past the openers of each product.
func flowCVs(f *fit.Fit, truth *simulate.Truth) map[drill.ProductID]float64 {
	product := map[drill.RunID]drill.ProductID{}
	for _, r := range f.Drill.Runs() {
		product[r.ID] = r.Product
	}
	flow := map[drill.ProductID][]float64{}
	for _, r := range truth.Runs {
		if p := product[r.Run]; r.FlowPerS > 0 {
			flow[p] = append(flow[p], r.FlowPerS)
		}
	}
	out := map[drill.ProductID]float64{}
	for p, v := range flow {
		out[p] = evenness.CV(v)
	}
	return out
}

func (d *demoRun) tune() error {
	if _, err := d.record("baseline.yaml", "fit-proved.json", "baseline"); err != nil {
		return err
	}
	if err := d.do("tune", d.path("fit-proved.json"), d.path("baseline", "baseline.csv.gz"), "-o", d.path("rules.json")); err != nil {
		return err
	}
	r, err := readDocument(d.s, d.path("rules.json"), alarm.Read)
	if err != nil {
		return err
	}
	d.rules = r
	for _, w := range r.Rules {
		d.say("tune", fmt.Sprintf("%s: %.3g h of flow", w.Product, r.WorkHours),
			fmt.Sprintf("below %.0f %% for %.3g s; blocked run caught after %s m, half blocked after %s m", 100*w.Floor, w.HoldS, metresOrNever(w.Missed.Blocked), metresOrNever(w.Missed.Half)))
	}
	return nil
}

func (d *demoRun) review() error {
	truth, err := d.record("day.yaml", "fit-proved.json", "day")
	if err != nil {
		return err
	}
	c := reviewCmd{Fit: d.path("fit-proved.json"), Log: d.path("day", "day.csv.gz"), Rules: d.path("rules.json"), Assume: d.path("assumptions.yaml"), Out: d.path("review"), evennessFlags: evennessFlags{Gains: d.path("gains.json")}}
	if d.day, err = c.review(d.s); err != nil {
		return err
	}
	if err := c.write(d.s, d.day); err != nil {
		return err
	}
	for _, name := range []string{"day.gpkg", "day.kml", "day.xlsx", "again.taskdata.zip"} {
		if err := d.do("export", d.path("review"), "--fit", d.path("fit-proved.json"), "-o", d.path("review", name)); err != nil {
			return err
		}
	}
	used := map[int]bool{}
	for _, t := range truth.Events {
		made := fmt.Sprintf("%s %s, %.0f m", where(string(t.Run), string(t.Head), string(t.Product), t.Node), strings.ReplaceAll(t.Kind.String(), "_", " "), t.Metres)
		found := "missed"
		for _, ev := range d.day.Review.Events {
			if same(t, ev) && !used[ev.ID] {
				used[ev.ID] = true
				found = fmt.Sprintf("%s %s, %.0f m from %s", where(string(ev.Run), string(ev.Head), string(ev.Product), ev.Node), strings.ReplaceAll(ev.Kind.String(), "_", " "), ev.Metres, clock(ev.Start))
				break
			}
		}
		d.say("review", made, found)
	}
	for _, p := range d.day.Evenness.Products {
		if p.CV != nil {
			d.say("review", fmt.Sprintf("%s: outlets' own CV %.2f %%", p.Product, 100*d.outlets[p.Product]), "from counts over gains "+p.CV.Percent())
		}
	}
	for _, ev := range d.day.Review.Events {
		if !used[ev.ID] {
			d.say("review", "nothing", "false: "+ev.Sentence)
		}
	}
	d.cost()
	return nil
}

// cost says what the day's skips may come to.
func (d *demoRun) cost() {
	total := d.day.Cost.Total
	w := cost.Words{System: d.day.Fit.Drill.Display, Currency: d.day.Cost.Currency}
	found := "the harvest of " + w.Area(total.HarvestM2)
	if total.Net != nil {
		found += ", " + w.Money(*total.Net) + " less seed saved"
	}
	d.say("cost", w.Ground(total.MissedM2)+" short of seed", found)
}

// same says whether an event speaks of the same part and time as a fault.
func same(t simulate.EventTruth, ev review.Event) bool {
	if t.Start > ev.End || ev.Start > t.End {
		return false
	}
	switch {
	case t.Node != "":
		return ev.Node == t.Node
	case t.Run != "":
		return ev.Run == t.Run
	case t.Head != "":
		return ev.Run == "" && ev.Head == t.Head
	}
	return ev.Run == "" && ev.Head == "" && ev.Product == t.Product
}

func where(run, head, product, node string) string {
	switch {
	case run != "":
		return run
	case node != "":
		return "node " + node
	case head != "":
		return "head " + head
	}
	return product
}

func clock(at string) string {
	if t, err := time.Parse(time.RFC3339Nano, at); err == nil {
		return t.Format("15:04:05")
	}
	return at
}

func (d *demoRun) dossier() error {
	return d.do("dossier", d.path("fit-proved.json"), "--proof", d.path("walk-2", "proof.json"), "--rules", d.path("rules.json"),
		"-o", d.path("dossier.pdf"))
}

// pictures draws what is worth more to look at than to read.
func (d *demoRun) pictures() error {
	f, display := d.day.Fit, d.day.Fit.Drill.Display
	for name, sheet := range map[string]*drawing.Sheet{
		"plan.svg":         views.Top(f, views.Options{}),
		"harness.svg":      views.Harness(f, views.Options{}),
		"side.svg":         views.Side(f, views.Options{}),
		"portmap.svg":      dossier.PortMap(f, nil, 260),
		"alarms.svg":       dossier.Frontier(d.rules, d.rules.Rules[0].Product, display, drawing.Size{WMM: 180, HMM: 110}),
		"runs-by-time.svg": dossier.RunsByTime(d.day, 0, len(d.day.Review.Picture.Runs), drawing.Size{WMM: 260, HMM: 200}),
		"skips.svg":        dossier.Map(d.day, drawing.Size{WMM: 180, HMM: 220}),
	} {
		if err := d.s.WriteFile(d.path(name), func(w io.Writer) error { return svg.Write(w, sheet, svg.Options{Font: svg.Embedded}) }); err != nil {
			return err
		}
	}
	return nil
}

// close prints what happened and where to look.
func (d *demoRun) close() error {
	if d.s.JSON {
		return d.s.EmitJSON(d.rows)
	}
	t := tabwriter.NewWriter(d.s.Out, 0, 4, 2, ' ', 0)
	fmt.Fprintln(t, "stage\twhat was made to happen\twhat was found")
	for _, r := range d.rows {
		fmt.Fprintf(t, "%s\t%s\t%s\n", r[0], r[1], r[2])
	}
	if err := t.Flush(); err != nil {
		return err
	}
	dir, err := filepath.Abs(d.dir)
	if err != nil {
		dir = d.dir
	}
	fmt.Fprintf(d.s.Out, "\nLook at, in %s%c:\n", dir, os.PathSeparator)
	for _, l := range [][2]string{
		{"sheets/", "what a technician needs in the yard: pre-assembly, staging, run sheet, labels"},
		{"quote.pdf kit.xlsx", "the offer, and what to pick and to order"},
		{"dossier.pdf", "the hand-over book: plan, port map, key-in sheet, proof, wiring, rules, sign-off"},
		{"catch/form.pdf catch.pdf", "the form for bags, and what they say of evenness and of the sensors; catch-seed.svg"},
		{"review/report.pdf", "the field day: events, runs by time, map, bars, evenness, what the skips may cost"},
		{"review/day.gpkg day.kml", "the same for map programs; day.xlsx for tables, again.taskdata.zip for a terminal"},
		{"replay/replay.pdf", "what the tuned rules would have done on that day, beside every other rule"},
		{"season/season.pdf", "fourteen recordings in one report: what stands out, what the repair changed"},
		{"north-quarter.zip", "the whole job for anybody to read: open index.html in it; from ledger.db, which runproof job --db shows"},
		{"plan.svg portmap.svg", "the drill to scale, and which hose goes to which port"},
		{"harness.svg side.svg", "the harness along the frame; gateway, antenna and switch from the side"},
		{"alarms.svg", "missed metres against false alarms"},
		{"runs-by-time.svg skips.svg", "the day as a picture, and where ground went short"},
		{"recorders/", "the same day as frames of a bus and positions of a receiver, and how they came together"},
		{"*.json scenarios/ day/", "every document and recording, with truth.json beside the recordings"},
	} {
		fmt.Fprintf(d.s.Out, "  %-28s %s\n", l[0], l[1])
	}
	return nil
}
