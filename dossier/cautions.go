package dossier

// caution is one warning and where the work meets it.
type caution struct{ when, text string }

// cautionList is the usual care of the trade, gathered from the sources named
// in the package's tests; it does not replace the machine's manual, the labels
// of seed and product, or the law of the place.
func cautionList() []caution {
	return []caution{
		{"Before work under the frame", "Lock the wings and the lift cylinders. Engine off, key out, hydraulic pressure released before a hand goes near a fan or a meter."},
		{"Before a tank is opened", "Stop the fan and let the tank vent before a lid is opened. With the fan running, product can blow out of an outlet: eye protection on."},
		{"Treated seed", "Read the tag. Gloves, eye protection, and a respirator with a particulate filter that suits the label. Stand upwind. Never clear a hose with a bare hand. Wash before eating."},
		{"Yard tests", "A yard test sows on the yard: catch what comes out. Dressed seed never goes back to feed. Keep bags and spilt seed away from water and animals."},
		{"Anhydrous ammonia on the same drill", "Nobody under the frame while the tank valve is open, water at hand. Its hoses are another trade's work: leave them alone."},
		{"Dust", "Dust of fertiliser and seed dressing corrodes plugs and drifts to bees: blow exhaust air toward the soil, and close connectors that are not used with plugs."},
		{"Electrics", "Disconnect the supply before a leg of the harness is opened. Fuse at the power point's end. Keep the harness clear of hinges, chains and hot hydraulics."},
		{"After the fit", "Raise, fold, unfold and lower once, slowly, with somebody watching the hoses and the harness, before the drill is driven on a road."},
	}
}

func (b *book) cautions() {
	b.NewPage()
	b.Title("Cautions")
	b.Paragraph("Read these before the yard work. They are the usual care of the trade and do not replace the manuals of tractor, drill and cart, the labels of seed and product, local codes, or the judgement of licensed people where the law asks for them.")
	b.Space(2)
	for _, c := range cautionList() {
		b.caution(c)
	}
}

func (b *book) caution(c caution) {
	b.Space(1.5)
	head := b.Text.Sized(11).Bold()
	b.Need(head.LineMM() + 2*b.Text.LineMM())
	b.Styled(c.when, head)
	b.Item("☐", c.text)
}
