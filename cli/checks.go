package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"runproof/check"
	"runproof/measure"
)

// verdictOrder lists verdicts as a person wants to read them: what needs a hand
// first.
var verdictOrder = []check.Verdict{check.Broken, check.Tight, check.Unknown, check.Kept}

// checksTable lists every result with its figures, worst first, the advice
// under those that want one, and counts them.
func checksTable(w io.Writer, rs check.Results, u measure.System) {
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "verdict\trule\tvalue\tlimit\tmargin\tsource")
	for _, v := range verdictOrder {
		for _, r := range rs.With(v) {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s %s\t%s\t%s\n", v, ruleOf(r), u.Format(r.Quantity, r.Value),
				r.Bound, u.Format(r.Quantity, r.Limit), differenceText(u, r), r.Source)
		}
	}
	t.Flush()
	for _, v := range verdictOrder[:3] {
		for _, r := range rs.With(v) {
			if r.Advice != "" {
				fmt.Fprintf(w, "\n%s: %s\n  %s\n", v, ruleOf(r), r.Advice)
			}
		}
	}
	fmt.Fprintln(w)
	countsText(w, rs)
}

func ruleOf(r check.Result) string {
	if r.Of == "" {
		return r.Rule
	}
	return r.Rule + ", " + r.Of
}

// differenceText is the margin in the reader's unit. A margin of temperatures is
// a difference: the zero of the scale does not count.
func differenceText(u measure.System, r check.Result) string {
	if r.Quantity == measure.Temperature {
		return strings.TrimSpace(fmt.Sprintf("%.0f K", r.Margin()))
	}
	return u.Format(r.Quantity, r.Margin())
}

func countsText(w io.Writer, rs check.Results) {
	fmt.Fprintf(w, "%d rules kept, %d tight, %d broken, %d not judged: for want of a figure, or of a look at the machine\n",
		rs.Count(check.Kept), rs.Count(check.Tight), rs.Count(check.Broken), rs.Count(check.Unknown))
}
