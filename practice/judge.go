package practice

import (
	"fmt"
	"math"
	"slices"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
	"runproof/parts"
)

// Judge is what the rules of this room say of a fit whose kit is counted. A fit
// without nodes senses nothing, and no rule is asked.
func Judge(f *fit.Fit) check.Results {
	if len(f.Nodes) == 0 {
		return nil
	}
	j := judge{f: f, heads: make(map[drill.HeadID]drill.Head), runs: make(map[drill.RunID]drill.Run), nodes: make(map[string]fit.Node), parts: parts.Catalogue{Parts: f.Parts}}
	for _, h := range f.Drill.Heads {
		j.heads[h.ID] = h
	}
	for _, r := range f.Drill.Runs() {
		j.runs[r.ID] = r
	}
	for _, n := range f.Nodes {
		j.nodes[n.Serial] = n
	}
	var rs check.Results
	for _, rule := range rules {
		rs = append(rs, rule(j)...)
	}
	return rs
}

// Renewed are the fit's results with those of this room judged anew: what the
// rules say after a run was moved or the document was edited. The others stay as
// the plan had them.
func Renewed(f *fit.Fit) check.Results {
	mine := func(r check.Result) bool { return slices.Contains(names, r.Rule) }
	return append(slices.DeleteFunc(slices.Clone(f.Checks), mine), Judge(f)...)
}

// rules in the order in which they are listed.
var rules = []func(judge) check.Results{
	judge.serials, judge.spare, judge.tubes, judge.sensors, judge.caps, judge.plugs, judge.cartDecides, judge.over, judge.history,
	judge.connectors, judge.inlets, judge.clamps,
}

// names are those of all rules of this room.
var names = []string{
	serialsRule, spareRule, tubesRule, sensorsRule, capsRule, plugsRule, cartRule, overRule, historyRule,
	connectorsRule, inletsRule, clampsRule,
}

// judge is a fit with its names looked up.
type judge struct {
	f     *fit.Fit
	heads map[drill.HeadID]drill.Head
	runs  map[drill.RunID]drill.Run
	nodes map[string]fit.Node
	parts parts.Catalogue
}

// wished turns a limit of the plan into a wish in later revisions, where it may
// rightly be off: floor is the figure beyond which nothing can be.
func (j judge) wished(r check.Result, floor float64) check.Result {
	if j.f.Revision > 1 {
		r.Reserve, r.Limit = math.Abs(r.Limit-floor), floor
	}
	return r
}

// telling are the results that want a person or, where none does, the one with
// the least margin, told as the worst of so many.
func telling(rs check.Results, many string) check.Results {
	var some check.Results
	least := -1
	for i, r := range rs {
		if r.Verdict() != check.Kept {
			some = append(some, r)
		}
		if least < 0 || r.Margin() < rs[least].Margin() {
			least = i
		}
	}
	if len(some) > 0 || least < 0 {
		return some
	}
	if len(rs) > 1 {
		rs[least].Of += fmt.Sprintf(", least to spare of %d %s", len(rs), many)
	}
	return rs[least : least+1]
}

// count is "1 node", "6 nodes".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
