package dossier

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"

	"runproof/drawing"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
)

// fixtureCatch is a made-up catch test: three repeats, each head leans a little,
// one run gives half, one nothing, one bag fell off. The numbers are invented.
func fixtureCatch(f *fit.Fit) (*evenness.Catch, *evenness.Gains) {
	var bags evenness.Bags
	gains := &evenness.Gains{Runproof: evenness.GainsVersion, Day: "2026-04-20"}
	at := map[drill.ProductID]int{}
	for i, r := range f.Drill.Runs() {
		if r.Closed {
			continue
		}
		for n := 1; n <= 3; n++ {
			g := 150 * (1 + 0.05*math.Cos(float64(r.Outlet)) + 0.01*float64((7*i+3*n)%5-2))
			switch {
			case i == 4:
				g = 75
			case i == 7:
				g = 0
			case i == 9 && n == 2:
				continue
			}
			bags.Bags = append(bags.Bags, evenness.Bag{Run: r.ID, Repeat: n, Grams: g})
		}
		if _, ok := at[r.Product]; !ok {
			at[r.Product] = len(gains.Products)
			p, _ := f.Drill.Product(r.Product)
			gains.Products = append(gains.Products, evenness.ProductGains{Product: p.ID, Material: p.Material, TKWG: p.TKWG, Repeats: 3, MeanGain: 0.98, SpreadCV: fraction(0.2), RepeatSD: fraction(0.02), DF: 20})
		}
		p := &gains.Products[at[r.Product]]
		ref, sensed := f.PortOf(r.ID)
		if !sensed {
			p.Without = append(p.Without, evenness.NoGain{Run: r.ID, Why: "its port is not in the recording, or the fit gives it none"})
			continue
		}
		p.Runs = append(p.Runs, evenness.Gain{Run: r.ID, Node: ref.Node, Port: ref.Port, Gain: evenness.Estimate{Value: 0.7 + 0.1*float64(i%7)}, SD: 0.01, Relative: 1})
	}
	opt := evenness.Options{Day: "2026-04-20", Scales: evenness.DefaultScales(), SafeRates: evenness.DefaultSafeRates(), OpenerSpreadM: 0.025}
	c, err := evenness.Judge(&f.Drill, bags, opt)
	if err != nil {
		return nil, nil
	}
	return c, gains
}

func fraction(v float64) *float64 { return &v }

// fixtureField is a made-up day of evenness, with gains or without.
func fixtureField(f *fit.Fit, calibrated bool) *evenness.FieldDay {
	day := &evenness.FieldDay{Runproof: evenness.FieldVersion, Drill: f.Drill.Name}
	for _, p := range f.Drill.Products {
		pf := evenness.ProductField{Product: p.ID, Material: p.Material, SteadyS: 5400, FaultS: 340, Blocks: 24, Changed: 1, Says: []string{"The first of what it says.", "A-1: its part of its head changed by -12.0 % from the first third of the work to the last."}, Remarks: []string{"Q-7: the log lacks the port"}}
		pf.WhyNo = "Sensors differ in gain by tens of percent."
		for i, r := range f.Drill.Runs() {
			if r.Product != p.ID || r.Closed {
				continue
			}
			wave := 0.06 * math.Sin(float64(i))
			x := evenness.RunField{Run: r.ID, RateHz: 50, Change: &evenness.Estimate{Value: wave / 3, Low: fraction(wave/3 - 0.02), High: fraction(wave/3 + 0.02)}, ChangeP: fraction(0.4)}
			if i%12 < 3 {
				x.Change.Value, x.ChangeP = -0.12, fraction(1e-6)
			}
			if calibrated {
				x.Deviation = &evenness.Estimate{Value: wave, Low: fraction(wave - 0.03), High: fraction(wave + 0.03)}
			}
			pf.Runs = append(pf.Runs, x)
		}
		if calibrated && len(pf.Runs) > 0 {
			pf.CV, pf.WhyNo = &evenness.Estimate{Value: 0.0432, Low: fraction(0.031), High: fraction(0.058)}, ""
			pf.Parts = &evenness.FieldParts{Seen: evenness.Estimate{Value: 0.05}, Floor: 0.004, Dispersion: 4.2, Gain: 0.012, Runs: len(pf.Runs), Of: len(pf.Runs)}
			pf.OutOfLine = []evenness.Odd{{Run: pf.Runs[0].Run, Deviation: -0.3, P: 1e-5, Words: "out"}}
			pf.Runs[0].Deviation.Value = -0.3
			pf.Bands = evenness.DefaultScales().Bands(0.0432, "wheat")
		}
		day.Products = append(day.Products, pf)
	}
	day.Siblings = []evenness.SiblingRise{{Words: "F-4 lost all of its flow.", Rest: evenness.Past}}
	return day
}

// Every drill makes a form, the pages of a catch test and those of a day's
// evenness, on either paper, with no text over another.
func TestEveryDrillMakesCatchPages(t *testing.T) {
	for _, c := range drill.Cases() {
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			f := fixture(c.Drill)
			name := fmt.Sprintf("%s, %v", c.Name, paper)
			form := CatchFormPages(CatchForm{Fit: f, Repeats: 3, Paper: paper})
			checkSheets(t, name+", form", form.Sheets)
			texts := pageTexts(form)
			for _, r := range evenness.FormRuns(&f.Drill, nil) {
				if countOf(texts, string(r.ID)) != 1 {
					t.Errorf("%s: %s stands on the form %d times", name, r.ID, countOf(texts, string(r.ID)))
				}
			}
			for _, calibrated := range []bool{true, false} {
				day := EvennessDay{Fit: f, Evenness: fixtureField(f, calibrated), Recording: "day.csv", Paper: paper}
				checkSheets(t, name+", evenness", EvennessPages(day).Sheets)
			}
			doc, gains := fixtureCatch(f)
			if doc == nil {
				continue // one run: evenness is between runs
			}
			checkSheets(t, name+", catch", CatchPages(CatchDay{Fit: f, Catch: doc, Gains: gains, Paper: paper}).Sheets)
			for i := range doc.Products {
				checkSheets(t, name+", bars", []*drawing.Sheet{CatchBars(f, &doc.Products[i], drawing.Size{WMM: 240, HMM: 90})})
			}
		}
	}
}

// A table abreast shows every row once, in order, its columns alike to a row on
// its last page.
func TestAbreast(t *testing.T) {
	for rows := range 200 {
		b := newPages(drawing.Info{}, drawing.A4, drill.Metric)
		b.Space(1)
		b.Area(40)
		table := drawing.Table{Columns: []drawing.Column{{Title: "no."}}}
		var want []string
		for i := range rows {
			want = append(want, fmt.Sprint("row ", i))
			table.Rows = append(table.Rows, drawing.Cells(want[i]))
		}
		b.abreast(table, 3)
		b.Paragraph("after")
		book := b.Close("foot")
		perColumn := map[float64]int{}
		var got []string
		for i, s := range book.Sheets {
			for _, item := range s.Items {
				if x, ok := item.(drawing.Text); ok && strings.HasPrefix(x.Text, "row ") {
					got = append(got, x.Text)
					if i == len(book.Sheets)-1 {
						perColumn[x.At.X]++
					}
				}
			}
		}
		if strings.Join(got, ",") != strings.Join(want, ",") {
			t.Fatalf("%d rows: %v", rows, got)
		}
		least, most := math.MaxInt, 0
		for _, n := range perColumn {
			least, most = min(least, n), max(most, n)
		}
		if len(perColumn) == 3 && most-least > 2 { // 10 rows are 4, 4 and 2
			t.Errorf("%d rows: columns of %v", rows, perColumn)
		}
		checkSheets(t, "abreast", book.Sheets)
	}
}

func TestEvennessStandsInTheReport(t *testing.T) {
	f := fixture(drill.Cases()[3].Drill)
	day := fixtureDay(f)
	plain := strings.Join(pageTexts(Report(day)), " ")
	if strings.Contains(plain, "Evenness across the width:") {
		t.Error("a chapter of nothing")
	}
	for calibrated, want := range map[bool][]string{
		true:  {"(they were weighed: see the chapter on", "4.32 %", "3.10 to 5.80 %", "From the mean of all runs", "F-4 lost all of its flow."},
		false: {"No CV across runs.", "Change over the day", "F-4 lost all of its flow."},
	} {
		day.Evenness = fixtureField(f, calibrated)
		text := strings.Join(pageTexts(Report(day)), " ")
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("gains %v: %q is not said", calibrated, w)
			}
		}
		if !calibrated && (strings.Contains(text, "From the mean of all runs") || strings.Contains(text, "4.32 %")) {
			t.Error("runs are compared without gains")
		}
	}
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WriteEvenness(w, EvennessDay{Fit: f, Evenness: day.Evenness, Recording: "d"}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same day gave other bytes")
	}
	c, g := fixtureCatch(f)
	for name, write := range map[string]func(*bytes.Buffer) error{
		"evenness": func(w *bytes.Buffer) error { w.Write(a.Bytes()); return nil },
		"catch":    func(w *bytes.Buffer) error { return WriteCatch(w, CatchDay{Fit: f, Catch: c, Gains: g}) },
		"form":     func(w *bytes.Buffer) error { return WriteCatchForm(w, CatchForm{Fit: f, Repeats: 6}) },
	} {
		var w bytes.Buffer
		if err := write(&w); err != nil {
			t.Fatal(err)
		}
		if err := api.Validate(bytes.NewReader(w.Bytes()), nil); err != nil { // independent judge: pdfcpu v0.15.0
			t.Errorf("%s: %v", name, err)
		}
	}
	golden(t, "catch.txt", bookText(CatchPages(CatchDay{Fit: f, Catch: c, Gains: g})))
}

func TestMostOfBars(t *testing.T) {
	bar := func(dev float64, odd bool) rowBar {
		return rowBar{dev: dev, low: fraction(dev - 0.02), high: fraction(dev + 0.02), odd: odd}
	}
	for _, c := range []struct {
		bars []rowBar
		want float64
	}{
		{nil, 5},
		{[]rowBar{bar(0.08, false), bar(-0.1, false)}, 12},
		{[]rowBar{bar(0.08, false), bar(-0.25, true)}, 27}, // within three times what the others do
		{[]rowBar{bar(0.08, false), bar(-1, true)}, 10},    // cut
	} {
		if got := (rowBars{bars: c.bars}).most(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v, want %v", got, c.want)
		}
	}
}
