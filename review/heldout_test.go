package review_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/review"
)

// heldTruth is truth.json of a held-out recording (testdata/heldout/README.md).
type heldTruth struct {
	Form   string
	Base   float64
	Epoch  float64
	Hours  float64
	DT     float64
	Faults []heldFault
}

type heldFault struct {
	Kind                     review.Kind
	Run, Head, Product, Node string
	Runs                     []string
	S, E                     float64
}

// TestHeldOut holds the review to the bars over recordings that an
// independent program made. With n faults and a bar of p, a program that stands
// just at the bar misses no more than the 97.5 % quantile of Binomial(n, 1-p);
// of false events, at one in three hours, no more than that of Poisson(h/3).
func TestHeldOut(t *testing.T) {
	dirs, err := filepath.Glob("testdata/heldout/seed*")
	if err != nil || len(dirs) == 0 {
		t.Fatal("no recordings", err)
	}
	var sum heldScore
	for _, dir := range dirs {
		sum.add(t, dir)
	}
	sum.judge(t)
}

// judge holds what was missed against the bars.
func (sc *heldScore) judge(t *testing.T) {
	t.Helper()
	t.Logf("%d faults in %.1f h: %d not found, %d misnamed, %d onsets off, %d false", sc.n, sc.hours, sc.missed, sc.misnamed, sc.late, sc.false)
	for _, bar := range []struct {
		what string
		miss int
		p    float64
	}{{"not found", sc.missed, 0.97}, {"misnamed", sc.misnamed, 0.90}, {"onset off by over 3 s", sc.late, 0.90}} {
		if most := binomialQuantile(sc.n, 1-bar.p, 0.975); bar.miss > most {
			t.Errorf("%s: %d of %d, a program at the bar of %g has at most %d", bar.what, bar.miss, sc.n, bar.p, most)
		}
	}
	if most := poissonQuantile(sc.hours/3, 0.975); sc.false > most {
		t.Errorf("%d false events in %.2f h, one in three hours gives at most %d", sc.false, sc.hours, most)
	}
}

func binomialQuantile(n int, p, q float64) int {
	d := distuv.Binomial{N: float64(n), P: p}
	k := 0
	for d.CDF(float64(k)) < q {
		k++
	}
	return k
}

func poissonQuantile(lambda, q float64) int {
	d := distuv.Poisson{Lambda: lambda}
	k := 0
	for d.CDF(float64(k)) < q {
		k++
	}
	return k
}

type heldScore struct {
	n, missed, misnamed, late, false int
	hours                            float64
}

func (sc *heldScore) add(t *testing.T, dir string) {
	t.Helper()
	f, truth := heldFit(t, dir), heldRead[heldTruth](t, filepath.Join(dir, "truth.json"))
	res, err := review.Run(f, heldLog(t, filepath.Join(dir, "day.csv.gz")), review.Options{})
	if err != nil {
		t.Fatal(dir, err)
	}
	used := map[int]bool{}
	sc.n, sc.hours = sc.n+len(truth.Faults), sc.hours+truth.Hours
	for _, ft := range truth.Faults {
		sc.fault(t, dir, truth, ft, res.Events, used)
	}
	for _, ev := range res.Events {
		if !used[ev.ID] {
			sc.false++
			t.Logf("%s: false %s %s%s from %.0f s", dir, ev.Kind, ev.Head, ev.Run, truth.seconds(t, ev.Start))
		}
	}
}

// fault scores one fault: any event on the same thing that overlaps within 10 s
// finds it; the longest names it; the first dates it.
func (sc *heldScore) fault(t *testing.T, dir string, truth heldTruth, ft heldFault, events []review.Event, used map[int]bool) {
	first, longest, kind := math.Inf(1), 0.0, review.Unknown
	for _, ev := range events {
		s, e := truth.seconds(t, ev.Start), truth.seconds(t, ev.End)
		over := min(e, ft.E+10) - max(s, ft.S-10)
		if over <= 0 || !ft.same(ev) {
			continue
		}
		used[ev.ID], first = true, min(first, s)
		if over > longest {
			longest, kind = over, ev.Kind
		}
	}
	switch {
	case longest == 0:
		sc.missed++
		t.Logf("%s: missed %s of %s%s%s at %.0f s", dir, ft.Kind, ft.Run, ft.Node, ft.Head, ft.S)
		return
	case kind != ft.Kind:
		sc.misnamed++
		t.Logf("%s: %s of %s%s%s at %.0f s named %s", dir, ft.Kind, ft.Run, ft.Node, ft.Head, ft.S, kind)
	}
	if math.Abs(first-ft.S) > 3+truth.DT {
		sc.late++
		t.Logf("%s: %s of %s%s%s at %.0f s dated %+.1f s", dir, ft.Kind, ft.Run, ft.Node, ft.Head, ft.S, first-ft.S)
	}
}

func (ft heldFault) same(ev review.Event) bool {
	switch ft.Kind {
	case review.NoData:
		return ev.Kind == review.NoData && ev.Node == ft.Node || slices.Contains(ft.Runs, string(ev.Run))
	case review.HeadStarved:
		return ev.Run == "" && string(ev.Head) == ft.Head
	case review.ProductOut:
		return ev.Run == "" && ev.Head == "" && string(ev.Product) == ft.Product
	}
	return string(ev.Run) == ft.Run
}

// seconds is a time of the log's form in seconds of the truth.
func (h heldTruth) seconds(t *testing.T, s string) float64 {
	t.Helper()
	if h.Form == "rfc3339" {
		at, err := time.Parse(time.RFC3339Nano, s)
		if err != nil {
			t.Fatal(err)
		}
		return float64(at.UnixNano())/1e9 - h.Epoch
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v - h.Base
}

func heldRead[T any](t *testing.T, name string) (v T) {
	t.Helper()
	b, err := os.ReadFile(name)
	if err == nil {
		err = json.Unmarshal(b, &v)
	}
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func heldFit(t *testing.T, dir string) *fit.Fit {
	t.Helper()
	file, err := os.Open(filepath.Join(dir, "drill.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	d, err := drill.Read(file, "drill.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := os.Open(filepath.Join(dir, "map.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer m.Close()
	rows, err := csv.NewReader(m).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	f := &fit.Fit{Runproof: fit.Version, Revision: 1, Drill: *d}
	for _, r := range rows[1:] { // run, product, head, outlet, row, node, port
		port, err := strconv.Atoi(r[6])
		if err != nil {
			t.Fatal(err)
		}
		f.Map = append(f.Map, fit.Link{Run: drill.RunID(r[0]), Node: r[5], Port: port})
		if !slices.ContainsFunc(f.Nodes, func(n fit.Node) bool { return n.Serial == r[5] }) {
			f.Nodes = append(f.Nodes, fit.Node{Serial: r[5], Ports: 64, Head: drill.HeadID(r[2])})
		}
	}
	return f
}

func heldLog(t *testing.T, name string) flowlog.Reader {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { file.Close() })
	r, done, err := formats.Open(formats.Source{Name: name, Stream: file})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { done() })
	return r
}
