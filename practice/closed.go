package practice

import (
	"fmt"
	"math"

	"runproof/check"
	"runproof/parts"
)

const (
	capsRule  = "caps for ports that listen to no run"
	plugsRule = "plugs for connectors that nothing is plugged into"
)

// caps compares the caps of the parts list, spares apart, with the free ports of
// all nodes.
func (j judge) caps() check.Results {
	free := j.f.FreePorts()
	return check.Results{j.wished(j.listed(check.Result{
		Rule: capsRule, Of: count(free, "free port"), Limit: float64(free),
		Source: "unused ports are capped: " + check.CommonPractice, Advice: "add caps to the parts list: an open port draws in water and dust, and counts what passes by",
	}, parts.Cap), 0)}
}

// plugs compares the plugs of the parts list, spares apart, with the open
// connectors at both ends of the bus, at junctions, boxes and the supply, and
// the antenna's lead, which is plugged whenever it is off the gateway.
func (j judge) plugs() check.Results {
	const antennaLead = 1
	open := j.f.Need().Plugs
	return check.Results{j.listed(check.Result{
		Rule: plugsRule, Of: fmt.Sprintf("%s of the harness, antenna lead", count(open, "open connector")), Limit: float64(open + antennaLead),
		Source: "unused connectors and antenna leads are capped: " + check.CommonPractice, Advice: "add plugs to the parts list: an open connector corrodes, and an open lead takes in water",
	}, parts.Plug)}
}

// listed fills in how many of a kind are in the parts list; of a fit without one
// that is not known.
func (j judge) listed(r check.Result, kind parts.Kind) check.Result {
	r.Bound, r.Value = check.AtLeast, math.NaN()
	if len(j.f.Kit.Lines) > 0 {
		r.Value = float64(j.f.Kit.Count(kind))
	}
	return r.Advised(r.Advice, "plan again: this fit has no parts list")
}
