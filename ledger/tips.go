package ledger

import (
	"fmt"
	"slices"

	"runproof/fit"
	"runproof/input"
)

// Fits are the entries that hold a revision of the fit, in their order.
func Fits(es []Entry) []Entry {
	var fits []Entry
	for _, e := range Sorted(es) {
		if e.Kind == Fit && e.Revision != nil {
			fits = append(fits, e)
		}
	}
	return fits
}

// Tips are the fits that no other fit follows: none of a job without a fit, one
// of any other, more where two were changed apart and nobody has decided yet.
func Tips(es []Entry) []Entry {
	fits := Fits(es)
	followed := map[string]bool{}
	for _, e := range fits {
		for _, h := range e.Revision.Follows {
			followed[h] = followed[h] || h != e.Revision.Hash
		}
	}
	return slices.DeleteFunc(fits, func(e Entry) bool { return followed[e.Revision.Hash] })
}

// Stale is a revision that does not follow what stands: the answer to somebody
// who was second.
type Stale struct {
	Job     string // its handle
	Stands  []Entry
	Follows []string
}

// Error says what stands, and what to do.
func (s Stale) Error() string {
	if len(s.Stands) == 0 {
		return input.Fault{What: fmt.Sprintf("job %s holds no fit that this revision could follow", s.Job), Remedy: "add the fit it follows first"}.Error()
	}
	t := s.Stands[len(s.Stands)-1]
	f := input.Fault{
		What:   fmt.Sprintf("in job %s stands revision %d (%s) by %s of %s, and this one does not follow it", s.Job, t.Revision.Number, t.Revision.Hash[:8], t.By, Stamp(t.Noted)),
		Remedy: "compare the two with runproof fit diff; if this one shall take its place, say --onto " + t.Revision.Hash[:8],
	}
	if n := len(s.Stands); n > 1 {
		f.What = fmt.Sprintf("in job %s %d fits stand side by side, changed apart, and this one does not follow them", s.Job, n)
		f.Remedy = "decide with --onto and the hash of each that it takes the place of, beginning with " + t.Revision.Hash[:8]
	}
	return f.Error()
}

// checkFollows wants a revision to follow all that stands or some of it, and to
// be new.
func checkFollows(handle string, tips, all []Entry, r *Revision) error {
	for _, e := range all {
		if e.Revision.Hash == r.Hash {
			return input.Fault{What: fmt.Sprintf("job %s holds this fit already: revision %d of %s", handle, e.Revision.Number, Stamp(e.Noted)), Remedy: "nothing is to be done"}
		}
	}
	for _, h := range r.Follows {
		if !slices.ContainsFunc(tips, func(e Entry) bool { return e.Revision.Hash == h }) {
			return Stale{Job: handle, Stands: tips, Follows: r.Follows}
		}
	}
	if len(r.Follows) == 0 && len(tips) > 0 {
		return Stale{Job: handle, Stands: tips}
	}
	return nil
}

// RevisionOf is what the ledger keeps of a fit beside its document: text is the
// document, follows are the entries of the fits whose place it takes.
func RevisionOf(f *fit.Fit, hash string, follows ...Entry) *Revision {
	r := &Revision{Number: f.Revision, Hash: hash, Drill: f.Drill.Name, Runs: len(f.Map)}
	if r.Drill == "" {
		r.Drill = "drill without a name"
	}
	has := map[string]bool{}
	for _, n := range f.Nodes {
		if !placeholders(f) {
			r.Placed = append(r.Placed, Placed{n.Serial, n.Head})
			has[n.Serial] = true
		}
	}
	for _, e := range follows {
		r.Follows = append(r.Follows, e.Revision.Hash)
		for _, p := range e.Revision.Placed {
			if !has[p.Serial] && !slices.Contains(r.Left, p.Serial) {
				r.Left = append(r.Left, p.Serial)
			}
		}
	}
	return r
}

// placeholders says whether the nodes are called N1, N2, ... because their
// serial numbers are not known yet.
func placeholders(f *fit.Fit) bool {
	names := fit.NumberedSerials(len(f.Nodes))
	return !slices.ContainsFunc(f.Nodes, func(n fit.Node) bool { return !slices.Contains(names, n.Serial) })
}
