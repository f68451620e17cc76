package flowlog

import (
	"io"
	"sync"
)

// Ahead reads r in the background, a few batches ahead of whoever asks, so that
// reading and reckoning share two cores. What comes out is the same. Call stop
// when done with it, at the latest before the source is closed: it waits until
// nobody reads any more.
func Ahead(r Reader) (ahead Reader, stop func()) {
	const batches = 3
	a := &aheadReader{
		r:      r,
		schema: r.Schema(),
		full:   make(chan filled, batches),
		free:   make(chan Batch, batches),
		quit:   make(chan struct{}),
		gone:   make(chan struct{}),
	}
	for range batches {
		a.free <- Batch{}
	}
	var once sync.Once
	return a, func() {
		once.Do(func() { close(a.quit) })
		a.begin.Do(func() { close(a.gone) })
		<-a.gone
	}
}

type filled struct {
	Batch
	err error
}

type aheadReader struct {
	r      Reader // run's own until it is gone
	schema Schema
	full   chan filled
	free   chan Batch
	quit   chan struct{} // closed when nobody wants more
	gone   chan struct{} // closed when nobody reads any more
	begin  sync.Once     // of the reading, at the first Read
	narrow bool          // as the first Read was
	err    error         // what ended the reading
}

func (a *aheadReader) Schema() Schema { return a.schema }

// Remarks are those of the reader behind, once it has come to its end.
func (a *aheadReader) Remarks() []Remark {
	if a.err == nil {
		return nil
	}
	<-a.gone
	return RemarksOf(a.r)
}

// run fills free batches until r ends or nobody wants more.
func (a *aheadReader) run(r Reader) {
	defer close(a.gone)
	read := r.Read
	if a.narrow {
		read = func(b *Batch) error { return ReadNarrow(r, b) }
	}
	for {
		var b Batch
		select {
		case b = <-a.free:
		case <-a.quit:
			return
		}
		err := read(&b)
		a.full <- filled{b, err} // never waits: there is room for every batch
		if err != nil {
			return
		}
	}
}

// Read gives the next batch that has been filled.
func (a *aheadReader) Read(b *Batch) error {
	err := a.swap(b, false)
	b.Widen()
	return err
}

// ReadNarrow implements NarrowReader.
func (a *aheadReader) ReadNarrow(b *Batch) error { return a.swap(b, true) }

// swap swaps b for a batch that has been filled.
func (a *aheadReader) swap(b *Batch, narrow bool) error {
	a.begin.Do(func() {
		a.narrow = narrow
		go a.run(a.r)
	})
	if a.err == nil {
		f, ok := a.next()
		if !ok {
			f.err = io.ErrClosedPipe
		} else {
			a.free <- *b
			*b = f.Batch
		}
		a.err = f.err
	} else {
		b.Reset(len(a.schema.Columns))
	}
	return a.err
}

// next is what run filled first, unless it was stopped before that.
func (a *aheadReader) next() (f filled, ok bool) {
	select {
	case f = <-a.full:
		return f, true
	case <-a.gone:
	}
	select {
	case f = <-a.full:
		return f, true
	default:
		return f, false
	}
}
