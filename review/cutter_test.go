package review_test

import (
	"testing"

	"runproof/flowlog"
	"runproof/review"
)

// onlooker looks at each batch again when the next is asked for.
type onlooker struct {
	flowlog.NarrowReader
	b      *flowlog.Batch
	counts []int
	t      *testing.T
}

func (o *onlooker) ReadNarrow(b *flowlog.Batch) error {
	o.look()
	err := o.NarrowReader.ReadNarrow(b)
	o.b, o.counts = b, o.counts[:0]
	for _, n := range b.Narrow {
		o.counts = append(o.counts, len(n.Counts))
	}
	return err
}

func (o *onlooker) look() {
	for c, n := range o.counts {
		if got := len(o.b.Narrow[c].Counts); got != n {
			o.t.Fatalf("column %d had %d narrow counts, has %d: the review changed a batch that others look at", c, n, got)
		}
	}
}

// TestBatchesAreLeftAlone: whoever reads along (runproof review with evenness)
// sees batches while the review works on them, also those of a log so short that
// they are gathered first.
func TestBatchesAreLeftAlone(t *testing.T) {
	for _, samples := range []int{200, 4800} {
		data := parquetDay(dayFit(), samples)
		o := &onlooker{NarrowReader: openDay(t, data).(flowlog.NarrowReader), t: t}
		if _, err := review.Run(dayFit(), o, review.Options{}); err != nil {
			t.Fatal(err)
		}
		o.look()
	}
}
