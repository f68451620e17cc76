package cli

import (
	"fmt"
	"io"
	"os"
)

// Progress is a counter on standard error, shown only on a terminal.
type Progress struct {
	w    io.Writer
	what string
	last int
}

// Progress begins a counter of what.
func (s *Shell) Progress(what string) *Progress {
	p := &Progress{what: what}
	if f, ok := s.Err.(*os.File); ok {
		if st, err := f.Stat(); err == nil && st.Mode()&os.ModeCharDevice != 0 {
			p.w = f
		}
	}
	return p
}

// Set shows the count when it has grown enough to be worth a line.
func (p *Progress) Set(n int) {
	if p.w != nil && n-p.last > 20000 {
		fmt.Fprintf(p.w, "\r%d %s", n, p.what)
		p.last = n
	}
}

// Show shows the count as it is.
func (p *Progress) Show(n int) {
	if p.w != nil {
		fmt.Fprintf(p.w, "\r%d %s", n, p.what)
		p.last = n
	}
}

// Done ends the line.
func (p *Progress) Done() {
	if p.w != nil && p.last > 0 {
		fmt.Fprintln(p.w)
	}
}
