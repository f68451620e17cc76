package dossier

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"runproof/cost"
	"runproof/drawing"
	"runproof/drill"
	"runproof/review"
)

// costDay is a day of the drill with so many events, and what they may cost.
func costDay(t *testing.T, d *drill.Drill, events int, assumptions string) Day {
	t.Helper()
	day := fixtureDay(fixture(d))
	var open []drill.Run
	for _, r := range d.Runs() {
		if !r.Closed {
			open = append(open, r)
		}
	}
	day.Review.Events = nil
	for i := range events {
		r := open[i%len(open)]
		ev := review.Event{
			ID: i + 1, Kind: review.Blocked, Run: r.ID, Head: r.Head, Product: r.Product, Lost: 0.95, Start: fmt.Sprint(100 * i), End: fmt.Sprint(100*i + 90),
			Metres: 1234.5, AreaM2: 1234.5 * d.Rows.SpacingM, Sentence: "made",
		}
		if i%5 == 4 {
			ev.Kind, ev.Run, ev.AreaM2 = review.HeadStarved, "", ev.AreaM2*float64(len(open))
		}
		day.Review.Events = append(day.Review.Events, ev)
	}
	a, err := cost.ReadAssumptions(strings.NewReader(assumptions), "a.yaml", d)
	if err != nil {
		t.Fatal(err)
	}
	day.Cost = cost.Estimate(cost.Input{Drill: d, Days: []cost.Day{{Events: day.Review.Events}}, Assumptions: a, Seed: 1, Draws: 100})
	return day
}

const everythingTaken = "runproof: assumptions/1\ncurrency: EUR\nproducts:\n  - {product: %s, crop: winter wheat, yield_t_ha: [7, 8, 8.5], price_per_t: [18000, 22000], seed_price_per_kg: 0.55}\nresow: {work_per_ha: [30, 60], yield_part: [0.7, 0.9]}\n"

// Nothing leaves its cell or its page, with few events or many, on either paper,
// in either system of units, with every figure or none.
func TestCostPages(t *testing.T) {
	for i, c := range drill.Cases() {
		for k, events := range []int{0, 3, 60} {
			paper := []drawing.Paper{drawing.A4, drawing.Letter}[(i+k)%2]
			d := *c.Drill
			d.Display = []drill.Display{drill.Metric, drill.US}[(i+k)%2]
			for name, text := range map[string]string{"taken": fmt.Sprintf(everythingTaken, d.Products[0].ID), "nothing taken": "runproof: assumptions/1\n"} {
				day := costDay(t, &d, events, text)
				day.Paper = paper
				r := newReport(day)
				r.mayCost()
				r.cost()
				checkSheets(t, fmt.Sprintf("%s, %v, %d events, %s", c.Name, paper, events, name), r.Close("").Sheets)
			}
		}
	}
}

// Every assumption stands there with the name by which it is changed and with
// its source, every event with its range, and all that is not counted.
func TestCostPageTellsEverything(t *testing.T) {
	d := *drill.Cases()[3].Drill
	day := costDay(t, &d, 4, fmt.Sprintf(everythingTaken, d.Products[0].ID))
	all := strings.Join(strings.Fields(strings.Join(pageTexts(Report(day)), " ")), " ")
	want := []string{day.Cost.Total.Net.Between("EUR"), "May cost: "}
	for _, a := range day.Cost.Assumptions {
		want = append(want, a.Key, a.Range.String())
		want = append(want, strings.Fields(a.Source)...)
	}
	for _, e := range day.Cost.Events {
		if e.Net != nil {
			want = append(want, e.Net.Between("EUR"))
		}
	}
	want = append(want, day.Cost.NotCounted...)
	for _, w := range want {
		if !strings.Contains(all, strings.Join(strings.Fields(w), " ")) {
			t.Errorf("the report does not say %q", w)
		}
	}
	day.Cost = nil
	if texts := pageTexts(Report(day)); slices.ContainsFunc(texts, func(s string) bool { return strings.Contains(s, "may cost") || strings.Contains(s, "May cost") }) {
		t.Error("a cost that was not reckoned is told")
	}
}
