package cli

import (
	"bytes"
	"fmt"
	"strings"

	"runproof/alarm"
	"runproof/ledger"
	"runproof/review"
	"runproof/walk"
)

// gist is what a document comes to, in a line for the history; it reads the
// document, so that none which cannot be read comes in as one.
func gist(kind ledger.Kind, b []byte, name string) (string, error) {
	switch kind {
	case ledger.Proof:
		p, err := walk.Read(bytes.NewReader(b), name)
		if err != nil {
			return "", err
		}
		var counts []string
		for v := walk.Verdict(0); v <= walk.NotWalked; v++ {
			if n := p.Count(v); n > 0 {
				counts = append(counts, fmt.Sprintf("%d %s", n, strings.ReplaceAll(v.String(), "_", " ")))
			}
		}
		return plural(len(p.Runs), "run") + ": " + strings.Join(counts, ", "), nil
	case ledger.Rules:
		r, err := alarm.Read(bytes.NewReader(b), name)
		if err != nil {
			return "", err
		}
		var rules []string
		for _, w := range r.Rules {
			rules = append(rules, fmt.Sprintf("%s: below %.0f %% for %.3g s", w.Product, 100*w.Floor, w.HoldS))
		}
		return strings.Join(rules, "; "), nil
	case ledger.Review:
		return gistOfReview(b, name)
	}
	return "", nil
}

// gistOfReview counts the events of a day; reviews of many days say nothing here.
func gistOfReview(b []byte, name string) (string, error) {
	if !bytes.Contains(b[:min(len(b), 200)], []byte(review.DocumentVersion)) {
		return "", nil
	}
	doc, err := review.ReadDocument(bytes.NewReader(b), name)
	if err != nil {
		return "", err
	}
	var counts []string
	for _, k := range review.Kinds() {
		n := 0
		for _, e := range doc.Events {
			if e.Kind == k {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, fmt.Sprintf("%d %s", n, strings.ReplaceAll(k.String(), "_", " ")))
		}
	}
	if len(counts) == 0 {
		return "nothing wrong found", nil
	}
	return strings.Join(counts, ", "), nil
}
