package yard

import (
	"fmt"
	"slices"
	"strings"

	"runproof/drawing"
	"runproof/parts"
)

func (p *page) benchParts() {
	p.part("1  Parts from the shelf", 30)
	if len(p.f.Kit.Lines) == 0 {
		p.missing("the parts list")
		return
	}
	p.say(wordsOfSheets + p.wordClosed())
	t := tickTable{again: "Parts", box: denseBoxMM, columns: []column{{kind: tick}, {title: "pieces", right: true, bold: true}, {title: "part", wrap: true}, {title: "what for", wrap: true}}}
	for _, l := range p.f.Kit.Lines {
		why := l.Why
		if legs := p.legsOfPiece(l.Part); why == "" && legs != "" {
			why = "for " + legs
		}
		if l.Spare > 0 {
			why = strings.TrimPrefix(fmt.Sprintf("%s; %s in it", why, one(l.Spare, "spare")), "; ")
		}
		t.rows = append(t.rows, []string{fmt.Sprint(l.Pieces()), fmt.Sprintf("%s (%s)", l.Name, l.Part), why})
	}
	p.table(t)
	p.notInList()
	p.step("From the workshop, not in this list: marker pen, blank tape, clean bags; tube cutter, hose knife, tape measure, multimeter with thin probes, inclinometer, crimping tool, screwdrivers and spanners, smooth pliers that shut a hose; tablet with the monitor.")
	p.step("For the yard: chocks, gloves, eye and ear protection, respirators, vacuum cleaner; sheets and bags to catch seed and fertiliser; the laptop.")
}

// wordsOfSheets are the words that mean one thing on all sheets.
const wordsOfSheets = "Words. Tube: from a sensor to its port, for the signal, not the product. Leg: a stretch of the harness between two places, of one or more cables; L1 is the supply lead. Power point: where L1 gets its power in the tractor. " +
	"Pair: the two signal wires of the bus that all nodes share; backbone: the bus from terminator to terminator. Drop: a leg aside from it to one box. Cap: closes a port that no run uses. Plug: closes a harness or antenna connector that nothing is connected to. Monitor: what shows the counts in the cab."

// wordClosed is said where there are closed runs.
func (p *page) wordClosed() string {
	if len(p.closedRuns()) == 0 {
		return ""
	}
	return " Closed: a run shut on purpose; it is fitted like the others."
}

// legsOfPiece names the legs that a cable of the kit goes into: "L1, L4 (2) and L8".
func (j *job) legsOfPiece(part string) string {
	var legs []string
	for _, l := range j.f.Harness.Legs {
		n := 0
		for _, id := range l.Pieces {
			if id == part {
				n++
			}
		}
		switch {
		case n == 1:
			legs = append(legs, l.ID)
		case n > 1:
			legs = append(legs, fmt.Sprintf("%s (%d)", l.ID, n))
		}
	}
	return listing(legs, text[string])
}

// clampsPerSensor as the kit counts them.
const clampsPerSensor = 2

// notInList says what the runs need and no catalogue could name: without it one
// drives to the drill with no sensors.
func (p *page) notInList() {
	sensors := len(p.f.Map) - p.f.Kit.Count(parts.Sensor)
	clamps := clampsPerSensor*len(p.f.Map) - p.f.Kit.Count(parts.Clamp)
	var lack []string
	if sensors > 0 {
		lack = append(lack, one(sensors, "sensor"))
	}
	if clamps > 0 {
		lack = append(lack, one(clamps, "hose clamp"))
	}
	if len(lack) == 0 {
		return
	}
	why := "The parts list has none for these hoses: find what fits, and take some to spare."
	if slices.ContainsFunc(p.hoseSizes(), func(h hoseSize) bool { return h.mm == 0 }) {
		why = "Nobody has said the inside of the hoses. Measure it at each head before the drive, and take what fits, with some to spare; or write it into the drill's description, plan again, and print these sheets anew."
	}
	p.notice("Not in this list: "+listing(lack, text[string]), why, drawing.Cross, drawing.Vermillion)
}

func (p *page) benchLabels() {
	p.part("2  Labels", 20)
	p.step(fmt.Sprintf("Print the label sheets, %s: two labels for each of the %s, one for each node and each junction, two for each leg and for the switch lead. Spare labels stay blank.", p.labelStock(), one(len(p.f.Map), "sensed run")),
		"They come in the order of this sheet: a node, then its runs by port, each with one label for the sensor's end and one for the port's end. The number in a node's name counts from left to right across the drill.",
		"On boxes: flat, on a clean and dry face. On tubes and cables: as a flag a hand's width from the end, folded round it between letters and code, print outwards, back stuck to back. What is round the tube cannot be read.")
}

// labelStock says what to put into the printer, and how much of it.
func (j *job) labelStock() string {
	l := j.labelSheet()
	size, _, _ := strings.Cut(l.Name, ",")
	if !strings.HasSuffix(size, "in") {
		size += "\u00a0mm"
	}
	n := len(j.labels())
	if l.each() == 1 {
		return fmt.Sprintf("%s from a roll of %s", one(n, "label"), size)
	}
	sheets := (n + j.in.Skip + l.each() - 1) / l.each()
	return fmt.Sprintf("%s of %d labels of %s, at 100 %%", one(sheets, "sheet"), l.each(), size)
}
