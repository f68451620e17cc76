package fit

import (
	"fmt"
	"strings"
)

// harness compares what is laid and set up beside the map.
func (d *differ) harness(a, b *Fit) {
	d.legs(a.Harness.Legs, b.Harness.Legs)
	d.text(HarnessChanged, "order on the bus", strings.Join(a.Harness.Bus, " "), strings.Join(b.Harness.Bus, " "))
	d.number(HarnessChanged, "fuse at the supply", a.Protection.RatingA, b.Protection.RatingA, "A")
	d.text(HarnessChanged, "gateway on", a.Radio.Best().GatewayOn, b.Radio.Best().GatewayOn)
	d.text(HarnessChanged, "antenna on", a.Radio.Best().AntennaOn, b.Radio.Best().AntennaOn)
	d.text(HarnessChanged, "work-state switch", a.WorkSwitch.words(), b.WorkSwitch.words())
}

// words is where the switch is and which way round; empty where none is planned.
func (w WorkSwitch) words() string {
	if w.Node == "" {
		return ""
	}
	return fmt.Sprintf("on %s, node %s, %s", w.On, w.Node, w.Work)
}

// legs compares legs by the places that they join.
func (d *differ) legs(as, bs []Leg) {
	ends := func(l Leg) string { return l.From + " to " + l.To }
	paired(as, bs, ends, func(a, b Leg) {
		d.text(HarnessChanged, "leg "+ends(a), strings.Join(a.Pieces, " + "), strings.Join(b.Pieces, " + "))
	}, func(l Leg) {
		d.say(HarnessChanged, "leg "+ends(l), strings.Join(l.Pieces, " + "), "", "leg %s is gone", ends(l))
	}, func(l Leg) {
		d.say(HarnessChanged, "leg "+ends(l), "", strings.Join(l.Pieces, " + "), "leg %s is new, %s", ends(l), orNone(strings.Join(l.Pieces, " + ")))
	})
}
