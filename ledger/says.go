package ledger

import (
	"fmt"
	"strings"
)

// Says is what an entry tells a person, a line each; who, when and why are told
// beside it.
func (e Entry) Says() []string {
	var out []string
	switch {
	case e.Opening != nil:
		out = append(out, fmt.Sprintf("%s opened as %s", e.Opening.Title, e.Opening.Handle))
	case e.Revision != nil:
		out = append(out, e.Revision.says())
	case e.Exchange != nil:
		out = append(out, e.Exchange.says())
	case e.Kind == Forgotten:
		out = append(out, "the customer was forgotten")
	}
	for l := range strings.Lines(e.Text) {
		out = append(out, strings.TrimRight(l, "\r\n"))
	}
	return out
}

func (r *Revision) says() string {
	s := fmt.Sprintf("revision %d of %s (%s): %d runs sensed by %d nodes", r.Number, r.Drill, r.Hash[:8], r.Runs, len(r.Placed))
	if len(r.Placed) == 0 {
		s = fmt.Sprintf("revision %d of %s (%s): %d runs sensed, serial numbers not given yet", r.Number, r.Drill, r.Hash[:8], r.Runs)
	}
	switch len(r.Follows) {
	case 0:
	case 1:
		s += ", follows " + r.Follows[0][:8]
	default:
		s += fmt.Sprintf(", settles %d fits that stood side by side", len(r.Follows))
	}
	if len(r.Left) > 0 {
		s += "; no more on the drill: " + strings.Join(r.Left, ", ")
	}
	return s
}

func (x *Exchange) says() string {
	what := x.Part
	if x.Out != "" {
		what += " " + x.Out
	}
	with := "a new one"
	if x.In != "" {
		with = x.In
	}
	s := fmt.Sprintf("at %s: %s exchanged for %s", x.Place, what, with)
	if x.Fate != Unknown {
		s += "; taken off: " + x.Fate.String()
	}
	return s
}
