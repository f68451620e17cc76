package yard

import (
	"fmt"
	"math"
	"slices"

	"runproof/drawing"
	"runproof/drill"
	"runproof/fit"
)

// What a plan has put in for want of a fact must be known as such in the yard:
// serials, the power point, a junction's place.

// standsIn tells whether a serial was given by the plan, because nobody said
// those of the boxes.
func (j *job) standsIn(serial string) bool {
	return slices.Contains(fit.NumberedSerials(len(j.f.Nodes)), serial)
}

// anyStandIn tells whether some node has no serial of its own yet.
func (j *job) anyStandIn() bool {
	return slices.ContainsFunc(j.nodes, func(n node) bool { return j.standsIn(n.Serial) })
}

// standIns says it once at the head of the bench's paper.
func (p *page) standIns() {
	if !p.anyStandIn() {
		return
	}
	p.notice("The serials of the nodes were not given",
		fmt.Sprintf("%s and so on stand in for them. Best is to plan again with the serials of the boxes on the shelf (runproof plan --serials) and to print sheets and labels anew. Otherwise write each box's own serial where there is a line for it: the monitor shows that one, and the office needs these pages to prove the runs.", p.nodes[0].Serial),
		drawing.Cross, drawing.Vermillion)
}

// benchNode takes the box from the shelf and names it.
func (p *page) benchNode(n node) {
	part := withArticle(p.partName(n.Part))
	if p.standsIn(n.Serial) {
		p.step(fmt.Sprintf("Take %s, boxes in the order of their serials. Stick its label on: %s, name “%s”.", part, n.Serial, n.Name))
		p.step("Its own serial, written on the label too: ____________________")
		return
	}
	p.step(fmt.Sprintf("Take %s with the serial %s. Stick its label on: %s, name “%s”.", part, n.Serial, n.Serial, n.Name))
}

// powerPointGuessed tells whether nobody said where the power point is.
func (j *job) powerPointGuessed() bool { return j.d.Supply.At == nil }

// guessedPowerPoint warns of a supply lead that is as long as a guess.
func (j *job) guessedPowerPoint() string {
	if !j.powerPointGuessed() {
		return ""
	}
	return fmt.Sprintf(" A usual place: nobody has measured it. Hold %s to the real one before it is made off.", j.supplyLead())
}

// stayPut is where a junction is tied. A plan may find it between the two
// sides of a joint, at the point nearest to its box; there it would be torn off, so it
// goes to the end of the joint that is nearer to that box.
func (j *job) stayPut(p fit.Place) (at drill.Point, beside string) {
	for _, k := range j.f.Harness.Frame.Links {
		from, okFrom := j.f.Harness.Frame.Point(k.From)
		to, okTo := j.f.Harness.Frame.Point(k.To)
		if k.SlackM <= 0 || !okFrom || !okTo || !ofOutfit(k) || !within(from, to, p.OnFrame) {
			continue
		}
		if box := j.boxOf(p); over(to, box) < over(from, box) {
			from, k.From = to, k.To
		}
		return from, spoken(k.From)
	}
	return p.At, ""
}

// ofOutfit tells whether a joint is one by which drill, cart and tractor hang
// together; a frame may have whole wings as links that fold.
func ofOutfit(k drill.FrameLink) bool {
	return slices.ContainsFunc([]string{drill.PointTractor, drill.PointCartFront, drill.PointCartRear}, func(id string) bool { return k.From == id || k.To == id })
}

// over is how far apart two points are as seen from above, m.
func over(a, b drill.Point) float64 { return math.Hypot(a.Forward-b.Forward, a.Right-b.Right) }

// boxOf is the place of the gateway that drops from a junction, or the junction's own.
func (j *job) boxOf(p fit.Place) drill.Point {
	if l, ok := j.gatewayDrop(); ok && l.From == p.ID {
		for _, q := range j.f.Harness.Places {
			if q.ID == l.To {
				return q.At
			}
		}
	}
	return p.At
}

// within tells whether a point lies on a stretch and at neither of its ends.
func within(a, b, p drill.Point) bool {
	const nearM = 0.01
	toA, toB := drill.DistanceM(a, p), drill.DistanceM(b, p)
	return toA > nearM && toB > nearM && math.Abs(toA+toB-drill.DistanceM(a, b)) < 1e-4
}

// junctionPlace says in words where a junction is tied.
func (j *job) junctionPlace(p fit.Place) string {
	at, beside := j.stayPut(p)
	if beside == "" {
		return fmt.Sprintf("tied %s: %s", j.junctionOn(p), j.units.place(at))
	}
	return fmt.Sprintf("tied at the %s, on that side of the joint and not within it: %s; its legs that do not cross the joint keep their slack for it in their coil", beside, j.units.place(at))
}
