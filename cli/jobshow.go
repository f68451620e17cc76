package cli

import (
	"fmt"
	"strings"

	"runproof/ledger"
	"runproof/store"
)

type jobShowCmd struct {
	Job string `arg:"" help:"The job."`

	ledgerFlags
}

func (*jobShowCmd) Help() string {
	return "Says what stands of a job: customer, the fit that stands with its nodes, how much there is of everything, and what happened last. " +
		"Exit status 1 where fits were changed apart and nobody has decided.\n\n" +
		"Example: runproof job show north-farm"
}

// jobDoc is the result document of job new and job show.
type jobDoc struct {
	Runproof string           `json:"runproof"` // job/1
	Job      ledger.Job       `json:"job"`
	Customer *ledger.Customer `json:"customer,omitempty"`
	Stands   []ledger.Entry   `json:"stands,omitempty"` // fits that nothing follows; more than one is a conflict
	Count    map[string]int   `json:"count,omitempty"`  // entries by kind
	Last     *ledger.Entry    `json:"last,omitempty"`
	Serials  []ledger.Stay    `json:"serials,omitempty"` // on the drill now
}

func (c *jobShowCmd) Run(s *Shell) error {
	var doc jobDoc
	err := c.read(s, func(_ *store.Ledger, tx *store.Tx) (err error) {
		doc, err = shown(tx, c.Job)
		return err
	})
	if err != nil {
		return err
	}
	doc.print(s)
	return s.EmitJSON(doc)
}

func shown(tx *store.Tx, name string) (jobDoc, error) {
	doc := jobDoc{Runproof: "job/1", Count: map[string]int{}}
	var err error
	if doc.Job, err = tx.Job(name); err != nil {
		return doc, err
	}
	es, err := tx.History(doc.Job.ID)
	if err != nil {
		return doc, err
	}
	if doc.Job.Customer != "" {
		if who, err := tx.Customer(doc.Job.Customer); err == nil {
			doc.Customer = &who
		}
	}
	doc.Stands = ledger.Tips(es)
	seen := map[string]bool{}
	for _, e := range es {
		doc.Count[e.Kind.String()]++
		for _, serial := range ledger.SerialsOf(e) {
			if seen[serial] {
				continue
			}
			seen[serial] = true
			moves, err := tx.Moves(serial)
			if err != nil {
				return doc, err
			}
			if st, ok := ledger.Now(ledger.Stays(moves)); ok && st.On && st.Job == doc.Job.ID {
				doc.Serials = append(doc.Serials, st)
			}
		}
	}
	doc.Last = &es[len(es)-1]
	return doc, nil
}

func (d jobDoc) print(s *Shell) {
	s.Summary("%s: %s", d.Job.Handle, d.Job.Title)
	switch {
	case d.Customer == nil:
	case d.Customer.Name == "":
		s.Summary("customer forgotten %s", dayOf(d.Customer.Forgotten))
	default:
		s.Summary("customer %s", strings.TrimSuffix(d.Customer.Name+", "+d.Customer.Reach, ", "))
	}
	if len(d.Stands) > 1 {
		s.Attention()
		s.Summary("%d fits stand side by side, changed apart; compare them (job get, fit diff), and decide with job add --onto:", len(d.Stands))
	}
	for _, e := range d.Stands {
		s.Summary("fit %s, by %s, %s", strings.Join(e.Says(), " "), e.By, dayOf(e.Noted))
	}
	if len(d.Stands) == 0 {
		s.Summary("no fit yet")
	}
	for _, st := range d.Serials {
		s.Summary("  %-12s at %-6s since %s %s", st.Serial, st.Place, dayOf(st.Since), st.Doubt)
	}
	var counts []string
	for k := ledger.Opened + 1; k <= ledger.Paper; k++ {
		if n := d.Count[k.String()]; n > 0 {
			counts = append(counts, fmt.Sprintf("%s %d", k, n))
		}
	}
	if len(counts) > 0 {
		s.Summary("holds: %s", strings.Join(counts, ", "))
	}
	s.Summary("last: %s %s: %s", dayOf(d.Last.At), d.Last.Kind, strings.Join(d.Last.Says(), "; "))
}
