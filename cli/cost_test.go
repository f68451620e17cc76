package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runproof/cost"
)

const twoBlocked = "faults: [{kind: blocked, run: A-3, at_s: 400, for_s: 200, fall_s: 1, left: 0.03}, {kind: blocked, run: A-4, at_s: 450, for_s: 150, fall_s: 1, left: 0.03}]\n"

// assumed writes an assumptions file from the blank one of the fit, filled in.
func assumed(t *testing.T, fit string) string {
	t.Helper()
	status, text, errw := runproof(t, "", "cost", "--fit", fit, "--blank", "-")
	if status != ExitDone {
		t.Fatal(errw)
	}
	for old, new := range map[string]string{
		"currency: ": "currency: EUR ", "    crop: ": "    crop: spring wheat ", "yield_t_ha: ": "yield_t_ha: [5, 6, 6.5] ", "price_per_t: ": "price_per_t: [190, 240] ", "seed_price_per_kg: ": "seed_price_per_kg: 0.6 ",
		"# resow:": "resow:", "#   width_m:": "  width_m:", "#   work_per_ha:": "  work_per_ha:", "#   yield_part:": "  yield_part:",
	} {
		if !strings.Contains(text, old) {
			t.Fatalf("no %q in\n%s", old, text)
		}
		text = strings.Replace(text, old, new, 1)
	}
	name := filepath.Join(t.TempDir(), "assumptions.yaml")
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

func costIn(t *testing.T, name string) (*cost.Document, []byte) {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := cost.Read(bytes.NewReader(text), name)
	if err != nil {
		t.Fatal(err)
	}
	return doc, text
}

// area is that of the event's pieces of so many rows, m2.
func area(e cost.EventCost, rows int) (sum float64) {
	for _, p := range e.Pieces {
		if p.Rows == rows {
			sum += p.AreaM2
		}
	}
	return sum
}

// The review reckons with the strips in memory, runproof cost with those that
// were written: both must come to the same bytes.
func TestReviewAndCostSayTheSame(t *testing.T) {
	for name, faults := range map[string]string{
		"two side by side": twoBlocked,
		"nothing wrong":    "",
		"no positions":     twoBlocked + "recorder: {no_position: true}\n",
	} {
		fit, log := recordedDay(t, faults)
		assume, dir := assumed(t, fit), filepath.Join(t.TempDir(), "review")
		status, out, errw := runproof(t, "", "review", fit, log, "--assume", assume, "-o", dir)
		if status == ExitInput || !strings.Contains(out, "may cost: ") {
			t.Fatalf("%s: %s%s", name, out, errw)
		}
		doc, mine := costIn(t, filepath.Join(dir, "cost.json"))
		again := filepath.Join(t.TempDir(), "again.json")
		if status, out, errw = runproof(t, "", "cost", dir, "--fit", fit, "--assume", assume, "-o", again); status != ExitDone {
			t.Fatalf("%s: %s%s", name, out, errw)
		}
		if _, its := costIn(t, again); !bytes.Equal(mine, its) {
			t.Errorf("%s: review and cost differ", name)
		}
		if faults == "" {
			if doc.Total.Events != 0 || *doc.Total.Net != (cost.Interval{}) || !strings.Contains(out, "nothing to reckon") {
				t.Errorf("%s: %+v\n%s", name, doc.Total, out)
			}
			continue
		}
		if doc.Total.Events != 2 || doc.Total.Net == nil || doc.Total.Net.Low <= 0 || area(doc.Events[1], 2) < 0.95*doc.Events[1].AreaM2 {
			t.Errorf("%s: %+v", name, doc.Events)
		}
		status, out, _ = runproof(t, "", "cost", dir, "--fit", fit, "--assume", assume, "-o", "-")
		if status != ExitDone || out != string(mine) {
			t.Errorf("%s: on standard output it differs", name)
		}
	}
}

// Two days together: each event says its day, the sum is over both.
func TestCostOfSeveralDays(t *testing.T) {
	fit, log := recordedDay(t, oneBlocked)
	assume, root := assumed(t, fit), t.TempDir()
	var one *cost.Document
	dirs := []string{filepath.Join(root, "monday"), filepath.Join(root, "tuesday")}
	for _, dir := range dirs {
		if status, _, errw := runproof(t, "", "review", fit, log, "--assume", assume, "-o", dir); status == ExitInput {
			t.Fatal(errw)
		}
		one, _ = costIn(t, filepath.Join(dir, "cost.json"))
	}
	out := filepath.Join(root, "cost.json")
	if status, _, errw := runproof(t, "", "cost", dirs[0], dirs[1], "--fit", fit, "--assume", assume, "-o", out); status != ExitDone {
		t.Fatal(errw)
	}
	both, _ := costIn(t, out)
	if both.Total.Events != 2*one.Total.Events || !strings.HasSuffix(both.Events[0].Day, "monday") || !strings.HasSuffix(both.Events[1].Day, "tuesday") {
		t.Errorf("%+v", both.Events)
	}
}

func TestCostRefuses(t *testing.T) {
	fit, log := recordedDay(t, oneBlocked)
	dir := filepath.Join(t.TempDir(), "review")
	runproof(t, "", "review", fit, log, "-o", dir)
	file := func(name, text string) string {
		name = filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	broken := t.TempDir()
	if err := os.WriteFile(filepath.Join(broken, "events.json"), []byte("{\n \"runproof\": \"events/1\",\n \"events\": 5}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	other := t.TempDir()
	if err := os.WriteFile(filepath.Join(other, "events.json"), []byte(`{"runproof":"events/1","events":[{"id":4,"kind":"blocked","run":"Q-7","head":"Q","product":"seed"}]}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(other, "skips.geojson"), []byte(`{"type":"FeatureCollection","features":[]}`), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"cost", "--fit", fit, "-o", "-"}, "no day is named; name the folder that runproof review wrote, or write an empty assumptions file with --blank FILE"},
		{[]string{"cost", dir, "--fit", fit}, "no file to write is named; add -o cost.json"},
		{[]string{"cost", dir, "--fit", fit, "-o", "-", "--draws", "10"}, "--draws is 10; name 1000 to 1000000"},
		{[]string{"cost", t.TempDir(), "--fit", fit, "-o", "-"}, "/events.json: no such file or directory; name the folder that runproof review wrote"},
		{[]string{"cost", broken, "--fit", fit, "-o", "-"}, "/events.json:3:12: not an events document"},
		{[]string{"cost", other, "--fit", fit, "-o", "-"}, "/events.json: event 4 speaks of run Q-7, which the drill does not have; name the fit that this day was reviewed with"},
		{[]string{"cost", dir, "--fit", fit, "--assume", file("a.yaml", "runproof: assumptions/1\nproducts:\n  - {product: seed, yield_t_ha: 5, yield_bu_ac: 40}\n"), "-o", "-"}, "a.yaml:3:49: yield_t_ha and yield_bu_ac are the same figure; keep one of them"},
		{[]string{"review", fit, log, "--assume", file("b.yaml", "runproof: assumptions/1\nproducts:\n  - {product: sed}\n"), "-o", filepath.Join(t.TempDir(), "x")}, "b.yaml:3:15: the drill has no product sed; did you mean seed?"},
	} {
		status, out, errw := runproof(t, "", c.args...)
		if status != ExitInput || !strings.Contains(errw, c.want) || out != "" {
			t.Errorf("%v: %d %q %q\nwant %q", c.args, status, out, errw, c.want)
		}
	}
}

// Machines get one document, people a few lines.
func TestCostJSON(t *testing.T) {
	fit, log := recordedDay(t, oneBlocked)
	dir := filepath.Join(t.TempDir(), "review")
	runproof(t, "", "review", fit, log, "-o", dir)
	out := filepath.Join(t.TempDir(), "cost.json")
	_, text, _ := runproof(t, "", "cost", dir, "--fit", fit, "--assume", assumed(t, fit), "-o", out, "--json")
	var doc cost.Document
	if err := json.Unmarshal([]byte(text), &doc); err != nil || doc.Runproof != cost.Version || doc.Total.Net == nil || doc.Total.HarvestM2.High <= 0 {
		t.Errorf("%v %+v", err, doc.Total)
	}
}
