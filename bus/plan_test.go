package bus_test

import (
	"fmt"
	"math"
	"testing"

	"runproof/bus"
	"runproof/check"
	"runproof/fit"
	"runproof/parts"
)

// line is a bus of n nodes in a row, stretchM apart, with the gateway on a drop
// from a junction at its first end.
func line(n int, stretchM, dropM float64) (*fit.Fit, fit.Harness) {
	f := &fit.Fit{}
	h := fit.Harness{
		Places: []fit.Place{{ID: "supply", Kind: fit.SupplyPlace}, {ID: "J1", Kind: fit.JunctionPlace}, {ID: "gateway", Kind: fit.GatewayPlace}},
		Legs:   []fit.Leg{{From: "supply", To: "J1", LengthM: 5}, {From: "J1", To: "gateway", LengthM: dropM, Drop: true}},
		Bus:    []string{"J1"},
	}
	for i := range n {
		id := fmt.Sprintf("N%d", i+1)
		f.Nodes = append(f.Nodes, fit.Node{Serial: id, Part: "node-12", Ports: 12})
		h.Places = append(h.Places, fit.Place{ID: id, Kind: fit.NodePlace})
		h.Legs = append(h.Legs, fit.Leg{From: h.Bus[i], To: id, LengthM: stretchM, Bus: true})
		h.Bus = append(h.Bus, id)
	}
	return f, h
}

// by is the built-in catalogue with other rules for nodes and gateway.
func by(nodes, gateway parts.BusRules, kbitS float64) parts.Catalogue {
	c := parts.BuiltIn()
	c.Parts = append([]parts.Part(nil), c.Parts...)
	for i := range c.Parts {
		switch c.Parts[i].Kind {
		case parts.Node:
			c.Parts[i].Bus, c.Parts[i].KbitS = nodes, kbitS
		case parts.Gateway:
			c.Parts[i].Bus, c.Parts[i].KbitS = gateway, kbitS
		}
	}
	return c
}

// Each rule is broken by what breaks it, and by nothing else.
func TestPlanBreaksWhatIsBroken(t *testing.T) {
	for _, c := range []struct {
		name           string
		nodes          int
		stretch, drop  float64
		set, gateway   parts.BusRules
		kbitS          float64
		broken, unsaid []string
	}{
		{"by CiA", 6, 3, 2, parts.CiA, parts.CiA, 250, nil, nil},
		{"40 m of J1939", 20, 2, 1, parts.J1939Shielded, parts.J1939Shielded, 250, nil, nil},
		{"42 m of J1939", 21, 2, 1, parts.J1939Shielded, parts.J1939Shielded, 250, []string{"bus length"}, nil},
		{"42 m by CiA", 21, 2, 1, parts.CiA, parts.CiA, 250, nil, nil},
		{"a long drop", 6, 3, 1.5, parts.ISO11783Pair, parts.ISO11783Pair, 0, []string{"drop from the bus"}, nil},
		{"31 boxes", 30, 1, 1, parts.J1939Pair, parts.J1939Pair, 0, []string{"boxes on the bus"}, nil},
		{"too near", 2, 0.05, 1, parts.J1939Pair, parts.J1939Pair, 0, []string{"spacing on the bus"}, nil},
		{"60 m at 1 Mbit/s", 30, 2, 1, parts.CiA, parts.CiA, 1000, []string{"bus length", "delay there and back"}, nil},
		{"mixed sets", 6, 3, 1, parts.CiA, parts.J1939Pair, 250, []string{"rule sets on one bus"}, []string{"bus length", "drop from the bus", "boxes on the bus", "delay there and back"}},
		{"rules not said", 6, 3, 1, parts.BusUnsaid, parts.BusUnsaid, 250, nil, []string{"rule sets on one bus", "bus length", "drop from the bus", "boxes on the bus", "terminator, least", "terminator, most", "delay there and back"}},
		{"a rate the set has not", 6, 3, 1, parts.J1939Pair, parts.J1939Pair, 125, nil, []string{"bus length", "drop from the bus", "boxes on the bus", "terminator, least", "terminator, most", "delay there and back"}},
	} {
		f, h := line(c.nodes, c.stretch, c.drop)
		_, rs := bus.Plan(f, h, by(c.set, c.gateway, c.kbitS))
		got := map[string]check.Verdict{}
		for _, r := range rs {
			got[r.Rule] = r.Verdict()
		}
		for rule, v := range got {
			if want := has(c.broken, rule); want != (v == check.Broken) {
				t.Errorf("%s: %s is %s", c.name, rule, v)
			}
		}
		for _, rule := range c.unsaid {
			if v, ok := got[rule]; ok && v != check.Unknown {
				t.Errorf("%s: %s is %s, though nothing is known of it", c.name, rule, v)
			}
		}
		if got["average load of the bus"] != check.Unknown {
			t.Errorf("%s: the load is judged, which nobody knows", c.name)
		}
	}
}

func has(words []string, word string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}

// The figures of a bus are those of its legs, and its meter shows two
// terminators and seven boxes: at an end of 18 m of 70 mohm/m, with nothing
// else on it, 120 || (120 + 2.52) = 60.62 ohm; boxes take less than 1.5 % off.
func TestPlanOfALine(t *testing.T) {
	f, h := line(6, 3, 2)
	b, _ := bus.Plan(f, h, parts.BuiltIn())
	if b.Rules != parts.CiA || b.KbitS != 250 || b.LengthM != 18 || b.StubsM != 2 || b.Boxes != 7 || b.LeastM != 3 {
		t.Errorf("%+v", b)
	}
	if len(b.Terminators) != 2 || b.Terminators[0].At != "J1" || b.Terminators[1].At != "N6" {
		t.Errorf("terminators %+v", b.Terminators)
	}
	if m := b.Meter; m.EndA > 60.62 || m.EndA < 60.62*0.985 || m.Ohm != m.EndA {
		t.Errorf("meter %+v", m)
	}
	if want := 910e-9 - 2*5e-9*(40-18-2); math.Abs(b.DelayS-want) > 1e-12 { // 910 ns at 40 m, see TestPropagation
		t.Errorf("delay %g s, want %g", b.DelayS, want)
	}
}

// A quad's ends are live circuits: no ohmmeter test, and nobody says kept.
func TestPlanOfAQuad(t *testing.T) {
	f, h := line(6, 3, 0.5)
	b, rs := bus.Plan(f, h, by(parts.ISO11783Quad, parts.ISO11783Quad, 0))
	if b.KbitS != 250 || b.Meter.Ohm != 0 || b.Meter.Words == "" || len(b.Meter.Bands) > 0 || b.FarV != 0 {
		t.Errorf("%+v", b)
	}
	if rs.Count(check.Broken) > 0 {
		t.Error(rs)
	}
}

// A line that is cut, and one that branches, are told as that.
func TestPlanOfABadLine(t *testing.T) {
	f, h := line(4, 3, 1)
	h.Legs[3].Bus = false
	_, rs := bus.Plan(f, h, parts.BuiltIn())
	if rs.Worst() != check.Broken || rs.With(check.Broken)[0].Rule != "breaks of the backbone" {
		t.Error(rs)
	}
	f, h = line(4, 3, 1)
	h.Legs = append(h.Legs, fit.Leg{From: "N1", To: "N4", LengthM: 9, Bus: true})
	_, rs = bus.Plan(f, h, parts.BuiltIn())
	if bad := rs.With(check.Broken); len(bad) != 1 || bad[0].Rule != "branches of the backbone" {
		t.Error(rs)
	}
	if b, rs := bus.Plan(f, fit.Harness{}, parts.BuiltIn()); b.Boxes != 0 || len(rs) > 0 {
		t.Error("a harness that is not planned has a bus")
	}
}
