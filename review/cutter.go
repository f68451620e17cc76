package review

import (
	"errors"
	"io"

	"runproof/flowlog"
)

// cutter reads a log and cuts it into frames, ahead of whoever judges them, so
// that the two share two cores.
type cutter struct {
	r       flowlog.Reader
	cut     chan stretch
	done    chan []*frame // stretches that may be used again
	frames  []*frame      // of the stretch at hand
	samples int
}

// stretch is some frames in a row.
type stretch struct {
	frames  []*frame
	samples int // read so far
	err     error
}

// stretchesAhead is how many wait to be judged at most.
const stretchesAhead = 3

func newCutter(r flowlog.Reader) *cutter {
	return &cutter{r: r, cut: make(chan stretch, stretchesAhead), done: make(chan []*frame, stretchesAhead+2)}
}

// run reads to the end. What it writes into the session, who judges reads only
// when cut is closed.
func (c *cutter) run(s *session) {
	defer close(c.cut)
	if err := c.read(s); err != nil {
		c.cut <- stretch{err: err}
	}
}

func (c *cutter) read(s *session) error {
	var b, first flowlog.Batch
	var fr *framer
	for {
		err := flowlog.ReadNarrow(c.r, &b)
		end := errors.Is(err, io.EOF)
		if err != nil && !end {
			return err
		}
		c.samples += b.Len()
		switch {
		case fr != nil:
			s.feed(fr, &b)
		case first.Len() == 0 && b.Len() >= intervalSamples:
			fr = c.start(s, &b)
			s.feed(fr, &b)
		default:
			gather(&first, &b)
			if first.Len() >= intervalSamples || end && first.Len() > 0 {
				fr = c.start(s, &first)
				s.feed(fr, &first)
				first = flowlog.Batch{}
			}
		}
		if end {
			break
		}
	}
	if fr != nil {
		fr.flush()
		c.hand(fr)
	}
	return nil
}

// intervalSamples are the first samples of the log: the sample interval is
// their median, however the reader cuts its batches.
const intervalSamples = 256

// gather adds a batch to another; b stays as it is, for others may be looking at
// it too.
func gather(to, b *flowlog.Batch) {
	if to.Values == nil {
		to.Reset(len(b.Values))
	}
	to.TimeNS = append(to.TimeNS, b.TimeNS...)
	for c := range b.Values {
		if c >= len(b.Narrow) || len(b.Narrow[c].Counts) == 0 {
			to.Values[c] = append(to.Values[c], b.Values[c]...)
			continue
		}
		at := len(to.Values[c])
		for _, x := range b.Narrow[c].Counts {
			to.Values[c] = append(to.Values[c], float64(x))
		}
		for _, i := range b.Narrow[c].Absent {
			to.Values[c][at+int(i)] = flowlog.Missing()
		}
	}
}

func (c *cutter) start(s *session, first *flowlog.Batch) *framer {
	s.tally.intervalS = interval(first.TimeNS[:min(intervalSamples, first.Len())])
	s.firstNS = first.TimeNS[0]
	fr := newFramer(s.in, s.tally.intervalS, func(f *frame) { c.frames = append(c.frames, f) })
	fr.lends, fr.pause = true, func() { c.hand(fr) }
	return fr
}

// hand hands the frames of a stretch on, and takes back those that were judged.
func (c *cutter) hand(fr *framer) {
	c.cut <- stretch{frames: c.frames, samples: c.samples}
	c.frames = nil
	for {
		select {
		case old := <-c.done:
			fr.free = append(fr.free, old...)
			c.frames = old[:0]
			continue
		default:
		}
		return
	}
}

func (s *session) feed(fr *framer, b *flowlog.Batch) {
	if b.Len() == 0 {
		return
	}
	s.tally.samples(b, s.lastNS)
	s.lastNS = b.TimeNS[b.Len()-1]
	fr.add(b)
}
