package dossier

import (
	"fmt"
	"io"
	"math"

	"runproof/drawing"
	"runproof/drawing/pdf"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/views"
)

// CatchForm is an empty form of a catch test, to write on in the yard.
type CatchForm struct {
	Fit      *fit.Fit
	Products []drill.ProductID // empty = all
	Repeats  int
	Paper    drawing.Paper
}

// WriteCatchForm makes the form and writes it as PDF.
func WriteCatchForm(w io.Writer, form CatchForm) error { return pdf.Write(w, CatchFormPages(form)) }

// catchCautions are the usual care where hoses blow with the fan running; they
// replace neither manuals, labels, local codes nor licensed people.
func catchCautions() []caution {
	return []caution{
		{"Before you go under the frame or a wing", "Wings and lift cylinders locked, wheels chocked, tractor braked. Hang bags with engine off, key out, fan stopped and hydraulic pressure released."},
		{"With the fan running", "Product comes out of open hoses fast: eye protection on, hearing protection on, nobody in front of an outlet. Everybody clear of fan, meters and drives; guards on; one person at the controls who sees the others. Stop the fan before a bag is changed."},
		{"Treated seed and dust", "Read the labels of seed and product. Gloves, and a respirator as the label says; stand upwind; wash before eating. Treated seed never goes back to feed or food."},
		{"Product on the ground", "Catch what comes out and sweep up what is spilt, before animals and water reach it. Spread a sheet under the openers. Fertiliser eats connectors: keep it off them."},
		{"Lifting", "Full bags are heavy when there are many: lift from the knees, share the load, keep the scale on level ground out of the wind."},
	}
}

// CatchFormPages makes the form: cautions, how to catch, and a line for each run.
func CatchFormPages(form CatchForm) *drawing.Book {
	d := &form.Fit.Drill
	info := drawing.Info{Title: "Catch test form: " + views.NameOf(d), Subject: "Bags to weigh, run by run", Author: "Runproof"}
	b := newPages(info, form.Paper, d.Display)
	b.Styled("Catch test: form for the yard", drawing.TextStyle{SizePT: 10, Ink: drawing.Soft})
	b.Title(views.NameOf(d))
	b.Paragraph("Day ____________   by ________________________   scale ________________   fan speed ____________   rate ____________")
	b.Paragraph("Speed it is set for __________   hopper level __________   slope __________   lot ______________   mass of 1000 __________")
	b.Heading("Cautions")
	for _, c := range catchCautions() {
		b.Item("☐", c.when+": "+c.text)
	}
	b.Paragraph("These are the usual care of the trade. The manuals of tractor, drill and cart, the labels of seed and product, local codes, and licensed people where the law asks for them, come first.")
	b.Heading("How to catch")
	for i, step := range catchSteps(d, form) {
		b.Item(fmt.Sprint(i+1), step)
	}
	for _, p := range d.Products {
		runs := evenness.FormRuns(d, []drill.ProductID{p.ID})
		if len(runs) > 0 && wanted(form.Products, p.ID) {
			b.formTable(p, runs, form.Repeats)
		}
	}
	return b.Close("Runproof catch test form · " + views.NameOf(d))
}

func wanted(products []drill.ProductID, p drill.ProductID) bool {
	for _, q := range products {
		if q == p {
			return true
		}
	}
	return len(products) == 0
}

func catchSteps(d *drill.Drill, form CatchForm) []string {
	steps := []string{
		"Fill the tank with the product that will be sown. Fan at its working speed, meter at the working rate; run it until flow is steady, then stop the meter.",
		"Hang an open-weave bag on every run of the product, with the air free to leave: a tight bag holds the air back and turns product to its neighbours. Every run at the same time: one head after the other shows no difference between heads.",
		"To calibrate the sensors, start the recorder now and let it run through all repeats.",
	}
	for _, p := range d.Products {
		if n := d.RunParticlesPerS(p.ID); wanted(form.Products, p.ID) && !math.IsNaN(n) {
			steps = append(steps, fmt.Sprintf("%s: about %.0f particles a second through each run at the usual speed. %.0f s leave chance a CV of 3 %%, %.0f s 1 %%.", p.ID, n, math.Ceil(1000/n), math.Ceil(10000/n)))
		}
	}
	return append(steps,
		"Turn the meter for that long, then stop it. Wait ten seconds with the meter standing before anything else: that is how the recording tells the repeats apart.",
		"Note speed, hopper level, rate and slope above: the division depends on them, and ISO 7256-2 tests seed drills at several of each. What is caught in the yard holds for what was set in the yard.",
		fmt.Sprintf("Weigh each bag without the bag's own mass, in grams. Do all of it %s: one repeat cannot tell unevenness from its own scatter.", timesWords(form.Repeats)),
		"A bag that fell off or was mixed up: leave its place empty. A run that gave nothing: write 0.")
}

func timesWords(n int) string {
	if n == 1 {
		return "once, better three times"
	}
	return fmt.Sprintf("%d times", n)
}

// formTable is a line for each run, with a place for each repeat.
func (b pages) formTable(p drill.Product, runs []drill.Run, repeats int) {
	b.Heading(fmt.Sprintf("%s: grams", productWords(p)))
	t := drawing.Table{Text: drawing.TextStyle{SizePT: 10.5}, Rules: true, Stretch: true, Columns: []drawing.Column{{Title: "run", Bold: true, WidthMM: 15}, {Title: "row", Align: drawing.Right, WidthMM: 10}}}
	shown := min(repeats, 4)
	for r := range shown {
		t.Columns = append(t.Columns, drawing.Column{Title: fmt.Sprint(r + 1), Align: drawing.Centre})
	}
	for _, r := range runs {
		row := []string{string(r.ID), fmt.Sprint(r.Row)}
		for range shown {
			row = append(row, "________")
		}
		t.Rows = append(t.Rows, drawing.Cells(row...))
	}
	b.abreast(t, 2)
	if repeats > shown {
		b.Paragraph(fmt.Sprintf("Repeats %d to %d: print this form again.", shown+1, repeats))
	}
}
