package fit

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"runproof/input"
)

// Exchange returns the next revision with a new node of the same part in the place
// of one that was taken off: the same head, ports, tubes and legs under another
// serial number. f is not changed. The error is an input.Fault: a serial that the
// fit has not, one that it has already, or one that no node can have.
func (f *Fit) Exchange(out, in string, made Provenance) (*Fit, error) {
	i := slices.IndexFunc(f.Nodes, func(n Node) bool { return n.Serial == out })
	if i < 0 {
		return nil, input.Fault{What: fmt.Sprintf("the fit has no node %q", out), Remedy: input.DidYouMean(out, f.serials())}
	}
	if why := serialFault(in); why != "" {
		return nil, input.Fault{What: fmt.Sprintf("serial %q %s", in, why), Remedy: "write the serial as it stands on the box"}
	}
	if slices.Contains(f.serials(), in) {
		return nil, input.Fault{What: fmt.Sprintf("the fit has a node %s already", in), Remedy: "give the serial of the box that was put on"}
	}
	made.Parent = f.Hash()
	next := *f
	next.Revision++
	next.Made = made
	x := exchange{out, in}
	next.Nodes = slices.Clone(f.Nodes)
	next.Nodes[i].Serial = in
	next.Map = slices.Clone(f.Map)
	for k := range next.Map {
		x.in(&next.Map[k].Node)
	}
	x.harness(&next)
	x.power(&next)
	x.words(&next)
	return &next, next.Check()
}

func (f *Fit) serials() []string {
	out := make([]string, len(f.Nodes))
	for i, n := range f.Nodes {
		out[i] = n.Serial
	}
	return out
}

// exchange is one serial for another.
type exchange struct{ out, put string }

func (x exchange) in(s *string) {
	if *s == x.out {
		*s = x.put
	}
}

func (x exchange) harness(f *Fit) {
	h := &f.Harness
	h.Places, h.Legs, h.Bus = slices.Clone(h.Places), slices.Clone(h.Legs), slices.Clone(h.Bus)
	for i := range h.Places {
		x.in(&h.Places[i].ID)
	}
	for i := range h.Legs {
		x.in(&h.Legs[i].From)
		x.in(&h.Legs[i].To)
	}
	for i := range h.Bus {
		x.in(&h.Bus[i])
	}
	b := &f.Bus
	b.Stubs, b.Terminators = slices.Clone(b.Stubs), slices.Clone(b.Terminators)
	for i := range b.Stubs {
		x.in(&b.Stubs[i].At)
	}
	for i := range b.Terminators {
		x.in(&b.Terminators[i].At)
	}
	x.in(&f.WorkSwitch.Node)
}

func (x exchange) power(f *Fit) {
	f.Power = slices.Clone(f.Power)
	for i := range f.Power {
		c := &f.Power[i]
		c.Legs, c.Loads, c.Off, c.Volts = slices.Clone(c.Legs), slices.Clone(c.Loads), slices.Clone(c.Off), maps.Clone(c.Volts)
		for k := range c.Legs {
			x.in(&c.Legs[k].From)
			x.in(&c.Legs[k].To)
		}
		for k := range c.Loads {
			x.in(&c.Loads[k].At)
		}
		for k := range c.Off {
			x.in(&c.Off[k])
		}
		if v, ok := c.Volts[x.out]; ok {
			delete(c.Volts, x.out)
			c.Volts[x.put] = v
		}
	}
	x.in(&f.Protection.FaultAt)
}

// words are the texts of rules that name the node as a word of its own.
func (x exchange) words(f *Fit) {
	f.Checks = slices.Clone(f.Checks)
	for i := range f.Checks {
		f.Checks[i].Of = x.text(f.Checks[i].Of)
		f.Checks[i].Advice = x.text(f.Checks[i].Advice)
	}
}

func (x exchange) text(s string) string {
	words := strings.Split(s, " ")
	for i, w := range words {
		core, port, _ := strings.Cut(strings.Trim(w, ".,;:()"), ":") // alone, or as 4103:7
		if core == x.out && !strings.Contains(port, ":") {
			words[i] = strings.Replace(w, x.out, x.put, 1)
		}
	}
	return strings.Join(words, " ")
}
