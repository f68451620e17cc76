package bus

import (
	"fmt"
	"math"
	"slices"

	"runproof/check"
	"runproof/fit"
	"runproof/measure"
)

// ends judges the terminators, and says what the ohmmeter must show.
func (p *planner) ends() {
	n := float64(len(p.bus.Terminators))
	ohm := 0.0
	if n > 0 {
		ohm = p.bus.Terminators[0].Ohm
	}
	p.say(check.Result{
		Rule: "terminators more or fewer than two", Of: "one at either end of the backbone", Value: math.Abs(n - 2), Limit: 0,
		Source: "SAE J1939-11 by an engine maker's installation manual: at the two ends, not inside boxes; one resistor of half the size does not do",
		Advice: "end the backbone at two places, and take out terminators inside boxes",
	})
	if p.rule.Set.Bias {
		p.bus.Meter.Words = "The test does not apply: a quad ends in circuits that are live with power on and are no plain resistors with power off."
		p.say(check.Result{
			Rule: "terminating bias circuits", Of: "both ends", Value: math.NaN(), Bound: check.AtLeast, Limit: 2,
			Source: p.rule.EndOhm.From(), Advice: "fit a terminating bias circuit of the rule set at either end",
		})
		return
	}
	nominal := p.rule.EndOhm.Limit()
	given := ohm
	if ohm == 0 {
		given = math.NaN()
	}
	source := "ISO 11898-2 by a secondary print: 100 to 130 ohm for 120"
	p.say(check.Result{Rule: "terminator, least", Quantity: measure.Resistance, Value: given, Bound: check.AtLeast, Limit: endLow * nominal, Source: source, Advice: "use terminators of 120 ohm"})
	p.say(check.Result{Rule: "terminator, most", Quantity: measure.Resistance, Value: given, Bound: check.AtMost, Limit: endHigh * nominal, Source: source, Advice: "use terminators of 120 ohm"})
	if ohm > 0 && p.whole {
		p.meter(ohm)
	}
}

// meter fills in the ohmmeter test.
func (p *planner) meter(ohm float64) {
	c := Chain{Boxes: make([]int, len(p.h.Bus)), OhmPerM: cableOhmPM, BoxOhm: boxUsualOhm, EndsOhm: [2]float64{ohm, ohm}}
	for i := 1; i < len(p.h.Bus); i++ {
		m, _ := p.between(p.h.Bus[i-1], p.h.Bus[i])
		c.CableM = append(c.CableM, m)
	}
	at := 0
	for _, b := range p.boxes {
		if tap := p.tap(b.at); tap >= 0 {
			c.Boxes[tap]++
		}
	}
	where := p.h.Bus[0]
	for _, pl := range p.h.Places {
		if tap := p.tap(pl.ID); pl.Kind == fit.GatewayPlace && tap >= 0 {
			at, where = tap, pl.ID
		}
	}
	m := &p.bus.Meter
	m.Ohm = measure.Round(c.Reading(at), 4)
	m.EndA, m.EndB = measure.Round(c.Reading(0), 4), measure.Round(c.Reading(len(c.Boxes)-1), 4)
	m.Bands = Bands(ohm, len(p.boxes), 2*cableOhmPM*p.bus.LengthM)
	for i := range m.Bands {
		m.Bands[i].FromOhm, m.Bands[i].ToOhm = measure.Round(m.Bands[i].FromOhm, 1), measure.Round(m.Bands[i].ToOhm, 1)
	}
	m.Words = fmt.Sprintf("Power off, the supply unplugged: measure between the two wires of the pair at an open bus connector, best at %s.", where)
	m.Source = fmt.Sprintf("assumed: cable %.0f mohm/m a wire (ISO 11898), %.0f kohm a box, as usual", 1e3*cableOhmPM, boxUsualOhm/1e3)
}

// signals judges delay, level and load.
func (p *planner) signals() {
	p.delay()
	if !p.rule.Set.Bias {
		p.level()
	}
	if p.known && p.bus.LengthM > thumbFromM {
		p.say(check.Result{
			Rule: "bit rate times length", Quantity: measure.Length, Value: p.bus.LengthM, Limit: ThumbLengthM(p.rule.AskedKbitS),
			Source: "Texas Instruments, SLLA486B: over 100 m, Mbit/s x m at most 50", Advice: "shorten the bus, or lower the bit rate of all boxes",
		})
	}
	load := p.rule.Load.Limit()
	if math.IsNaN(load) {
		load = usualLoad
	}
	source := p.rule.Load.From()
	if source == "" {
		source = "an engine maker's installation manual for J1939"
	}
	p.say(check.Result{
		Rule: "average load of the bus", Quantity: measure.Ratio, Value: math.NaN(), Limit: load,
		Source: source + "; the parts do not say how much they send", Advice: "ask the maker of the nodes how many messages a second a node sends",
	})
}

const (
	thumbFromM = 100 // from this length on the rule of thumb is asked
	usualLoad  = 0.4
)

// delay is asked of the two boxes that are farthest apart.
func (p *planner) delay() {
	apart := p.bus.LengthM
	var stubs []float64
	for _, s := range p.bus.Stubs {
		stubs = append(stubs, s.LengthM)
	}
	slices.Sort(stubs)
	for _, s := range stubs[max(0, len(stubs)-2):] {
		apart += s
	}
	r := check.Result{
		Rule: "delay there and back", Quantity: measure.Delay, Value: PropagationS(apart), Limit: math.NaN(),
		Source: p.unknownRule(), Advice: "shorten the bus, or lower the bit rate of all boxes",
	}
	if p.known {
		row := p.rule.Rate
		row.KbitS = p.rule.AskedKbitS
		r.Limit = row.Seg1S()
		r.Source = fmt.Sprintf("2 (255 ns + 5 ns/m L), ISO 11898; bit read after %.1f %%", 100*row.SamplePoint())
		p.bus.DelayMax = measure.Round(r.Limit, 12)
	}
	p.bus.DelayS = measure.Round(r.Value, 12)
	p.say(r)
}

// level is that of a speaker at one end for a listener at the other.
func (p *planner) level() {
	l := Levels{OutV: outV, NeedV: NeedV(thresholdV, outV, safety), EndOhm: math.NaN(), BoxOhm: boxLeastOhm, OhmPerM: cableOhmPM, Boxes: len(p.boxes)}
	if len(p.bus.Terminators) > 0 && p.bus.Terminators[0].Ohm > 0 {
		l.EndOhm = endPart * p.bus.Terminators[0].Ohm
	}
	v := l.FarV(p.bus.LengthM)
	source := fmt.Sprintf("AN96116 (1996), appendix 3; assumed: cable %.0f mohm/m a wire (ISO 11898), %.0f kohm a box, the least", 1e3*cableOhmPM, boxLeastOhm/1e3)
	p.say(check.Result{
		Rule: "level at the far end", Quantity: measure.Voltage, Value: v, Bound: check.AtLeast, Limit: l.NeedV,
		Source: source, Advice: "shorten the bus, or use cable with a thicker pair",
	})
	p.say(check.Result{
		Rule: "length by resistance of the pair", Quantity: measure.Length, Value: p.bus.LengthM, Limit: l.ReachM(),
		Source: source, Advice: "shorten the bus, or use cable with a thicker pair",
	})
	if !math.IsNaN(v) {
		p.bus.FarV, p.bus.ReachM = measure.Round(v, 4), measure.Round(l.ReachM(), 1)
	}
}
