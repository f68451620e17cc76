package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"runproof/store"
)

type jobListCmd struct {
	Words []string `arg:"" optional:"" help:"Words that the job holds: of its name, title, drill or customer, or serial numbers that were ever on it."`
	Most  int      `default:"50" help:"List at most so many."`

	ledgerFlags
}

func (*jobListCmd) Help() string {
	return "Lists the jobs of the ledger, or those that hold all of the words.\n\n" +
		"Example: runproof job list north 4103"
}

// jobsDoc is the result document.
type jobsDoc struct {
	Runproof string        `json:"runproof"` // jobs/1
	Found    int           `json:"found"`
	Jobs     []store.Found `json:"jobs"` // the first of them
}

func (c *jobListCmd) Run(s *Shell) error {
	doc := jobsDoc{Runproof: "jobs/1", Jobs: []store.Found{}}
	err := c.read(s, func(_ *store.Ledger, tx *store.Tx) error {
		found, of, err := tx.Search(strings.Join(c.Words, " "), max(c.Most, 1))
		doc.Found, doc.Jobs = of, append(doc.Jobs, found...)
		return err
	})
	if err != nil {
		return err
	}
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 4, 2, ' ', 0)
	for _, j := range doc.Jobs {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", j.Handle, j.Title, j.Customer, entries(j.Entries), j.Last[:10])
	}
	w.Flush()
	s.Summary("%s%s found", b.String(), plural(doc.Found, "job"))
	if more := doc.Found - len(doc.Jobs); more > 0 {
		s.Summary("%d more; name more words, or --most", more)
	}
	return s.EmitJSON(doc)
}

// entries counts entries in words.
func entries(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}
