package plan_test

import (
	"slices"
	"strings"
	"testing"

	"runproof/check"
	"runproof/drill"
	"runproof/parts"
)

// The trade's facts, each in its own words (common practice, no source), and the
// rules by which a plan is held to it.
var facts = []struct {
	fact  string
	rules []string
}{
	{"serials ascend from left to right along the front rank, then left to right along the back", []string{"serials ascend along the ranks of heads"}},
	{"sensors sit at about the same distance from the head all round", []string{"sensors alike far from their head", "sensor on its hose"}},
	{"a sensor's inlet faces the flow", []string{"sensors whose inlet does not face the flow"}},
	{"its clamp stays clear of moulded ridges", []string{"clamps on a moulded ridge"}},
	{"one node may serve two heads that stand close", []string{"tube reaches from node to sensor"}},
	{"an antenna is at least 0.61 m from the operator", []string{"antenna to the operator"}},
	{"and at least 0.20 m from the gateway", []string{"antenna to the gateway"}},
	{"an enclosure's connector never faces up", []string{"connectors that face up", "antenna over its gateway"}},
	{"unused connectors and antenna leads are capped", []string{"caps for ports that listen to no run", "plugs for connectors that nothing is plugged into"}},
	{"the cart's place decides where gateway and antenna go", []string{"gateway and antenna where the cart's place wants them"}},
	{"a tilt switch must swing through a clear angle between raised and lowered", []string{"tilt between raised and in the ground", "half the tilt clears slope, band and mounting"}},
	{"which way is working is noted for the set-up", []string{"which way round is in the ground"}},
	{"any run can be moved to a spare port", []string{"ports kept free at every node"}},
}

// Each fact is a rule in the one list, with a source and a line of advice: none
// stands only as a sentence on paper.
func TestTradeFactsAreRules(t *testing.T) {
	for _, c := range drill.Cases() {
		rs := made(t, c.Drill, parts.BuiltIn()).Fit.Checks
		for _, f := range facts {
			for _, rule := range f.rules {
				i := slices.IndexFunc(rs, func(r check.Result) bool { return r.Rule == rule })
				switch {
				case i < 0:
					t.Errorf("%s: no rule %q, for: %s", c.Name, rule, f.fact)
				case rs[i].Source == "" || rs[i].Advice == "" || strings.Contains(rs[i].Advice, "\n"):
					t.Errorf("%s: %+v lacks a source or one line of advice", c.Name, rs[i])
				}
			}
		}
	}
}
