package formats

import (
	"bufio"

	"runproof/flowlog"
)

// Option changes how a log is opened.
type Option func(*options)

type options struct{ keep func(flowlog.Column) bool }

// Only reads the columns that keep wants and passes over the others, which
// makes reading faster. The schema then holds no others.
func Only(keep func(flowlog.Column) bool) Option { return func(o *options) { o.keep = keep } }

// Open reads the head of a log in whatever format it is. close gives back what
// the reader holds; it does not close the source.
func Open(src Source, opts ...Option) (r flowlog.Reader, closer func(), err error) {
	var o options
	for _, opt := range opts {
		opt(&o)
	}
	stream := bufio.NewReaderSize(src.Stream, 4096)
	head, _ := stream.Peek(1024) // a failing source fails again, with more to say, in Open
	src.Stream = stream
	for _, f := range all {
		if f.Owns(head) {
			r, err = f.Open(src, o.keep)
			return r, func() {}, err
		}
	}
	panic("formats: text takes everything")
}
