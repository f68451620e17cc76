package practice

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"runproof/check"
	"runproof/drill"
	"runproof/fit"
)

const serialsRule = "serials ascend along the ranks of heads"

// serials counts the nodes that stand out of order: the fewest whose removal
// leaves serials that ascend from left to right along the front rank of heads,
// then along the next. Nodes side by side at one head, or at heads straight
// behind one another in a rank, have no left and right and are never out of
// order among themselves.
func (j judge) serials() check.Results {
	out := outOfOrder(j.walk())
	r := check.Result{
		Rule: serialsRule, Of: count(len(j.f.Nodes), "node"), Value: float64(len(out)), Bound: check.AtMost,
		Source: check.CommonPractice + ": left to right along the front rank, then along the back",
		Advice: "swap the boxes, or where a node was replaced note on its label and on the run sheet where it is: whoever looks for it counts from the left",
	}
	if len(out) > 0 {
		r.Of = "out of order: " + some(out)
	}
	return check.Results{j.wished(r, float64(len(j.f.Nodes)))}
}

// walk is the serials in the order in which a person walks along the heads.
func (j judge) walk() []string {
	rank := make(map[drill.HeadID]int)
	for i, ids := range j.f.Drill.HeadRanks() {
		for _, id := range ids {
			rank[id] = i
		}
	}
	nodes := slices.SortedFunc(slices.Values(j.f.Nodes), func(a, b fit.Node) int {
		return cmp.Or(cmp.Compare(rank[a.Head], rank[b.Head]), cmp.Compare(j.heads[a.Head].At.Right, j.heads[b.Head].At.Right), fit.CompareSerials(a.Serial, b.Serial))
	})
	serials := make([]string, len(nodes))
	for i, n := range nodes {
		serials[i] = n.Serial
	}
	return serials
}

// outOfOrder are the fewest serials whose removal leaves an ascending list:
// those that are not in its longest ascending sub-sequence.
func outOfOrder(serials []string) []string {
	long, before := make([]int, len(serials)), make([]int, len(serials))
	last := -1
	for i, s := range serials {
		long[i], before[i] = 1, -1
		for k, t := range serials[:i] {
			if fit.CompareSerials(t, s) < 0 && long[k] >= long[i] {
				long[i], before[i] = long[k]+1, k
			}
		}
		if last < 0 || long[i] > long[last] {
			last = i
		}
	}
	in := make(map[int]bool)
	for i := last; i >= 0; i = before[i] {
		in[i] = true
	}
	var out []string
	for i, s := range serials {
		if !in[i] {
			out = append(out, s)
		}
	}
	return out
}

// some lists the first few.
func some(words []string) string {
	const most = 6
	if len(words) <= most {
		return strings.Join(words, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(words[:most], ", "), len(words)-most)
}
