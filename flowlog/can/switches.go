package can

import (
	"strconv"
	"strings"
)

// plainSwitch gives multiplexed signals the message's one switch. Where a message
// has several, SG_MUL_VAL_ must tell.
func (r *dbcReader) plainSwitch(m *Message) {
	name := ""
	for i := range m.Signals {
		if s := &m.Signals[i]; s.IsSwitch && s.SwitchedBy == nil {
			if name != "" {
				return
			}
			name = s.Name
		}
	}
	for i := range m.Signals {
		if s := &m.Signals[i]; s.SwitchedBy != nil {
			s.Switch = name
		}
	}
}

// multiplex reads at which values of which switch a signal is there, such as
// SG_MUL_VAL_ 2024 Sub Service 13-13, 15-20;
func (r *dbcReader) multiplex(s statement) {
	fields := strings.Fields(strings.NewReplacer(",", " ", ";", " ").Replace(s.text))
	if len(fields) == 1 {
		return
	}
	fault := func(what string) {
		r.faults.Add(r.place(s), "write it like SG_MUL_VAL_ 2024 Signal Switch 13-13, 15-20;", "%s", what)
	}
	if len(fields) < 5 {
		fault("the statement lacks a signal, its switch or the switch's values")
		return
	}
	id, err := strconv.ParseUint(fields[1], 10, 32)
	i, known := r.byID[ident(id)]
	if err != nil || !known {
		return
	}
	m := &r.db.Messages[i]
	at, on := m.signal(fields[2]), m.signal(fields[3])
	if at < 0 || on < 0 {
		fault("message " + m.Name + " has no signal " + fields[2+min(at+1, 1)])
		return
	}
	var spans []Span
	for _, f := range fields[4:] {
		from, to, ok := strings.Cut(f, "-")
		a, errA := strconv.ParseUint(from, 10, 64)
		b, errB := strconv.ParseUint(to, 10, 64)
		if !ok || errA != nil || errB != nil || b < a {
			fault("\"" + f + "\" is no range of values")
			return
		}
		spans = append(spans, Span{a, b})
	}
	m.Signals[at].Switch, m.Signals[at].SwitchedBy = fields[3], spans
}

// maxCases bounds the work that the switches of one message make: values told
// apart, times signals.
const maxCases = 1 << 20

// checkSwitches wants every multiplexed signal to have a switch that is one, and
// no switch to wait for itself.
func (r *dbcReader) checkSwitches(m *Message) {
	on := make([]int, len(m.Signals))
	spans, switched := 0, 0
	names := make(map[string]int, len(m.Signals))
	for i := range m.Signals {
		names[m.Signals[i].Name] = i
	}
	for i := range m.Signals {
		s := &m.Signals[i]
		on[i] = -1
		if s.SwitchedBy == nil {
			continue
		}
		spans += len(s.SwitchedBy)
		switched++
		at, ok := names[s.Switch]
		if !ok {
			r.faultAt(s, "mark its switch with M; where there are several, name it by SG_MUL_VAL_", "signal %s.%s is multiplexed, but no single signal is its switch", m.Name, s.Name)
			return
		}
		m.Signals[at].IsSwitch = true
		on[i] = at
		if m.Signals[at].Bits > 64 {
			r.faultAt(&m.Signals[at], "a switch has up to 64 bits", "signal %s.%s is a switch of %d bits", m.Name, s.Switch, m.Signals[at].Bits)
			return
		}
	}
	if 2*spans*switched > maxCases {
		r.faultAt(&m.Signals[0], "this is hardly one message", "the %d signals of %s wait for %d ranges of values", switched, m.Name, spans)
		return
	}
	for i := range on {
		steps := 0
		for at := i; at >= 0; at = on[at] {
			const deepest = 16
			if steps++; steps > deepest {
				r.faultAt(&m.Signals[i], "let the switches lead to one that is always there", "the switches of signal %s.%s go in a circle, or more than %d deep", m.Name, m.Signals[i].Name, deepest)
				return
			}
		}
	}
}

func (r *dbcReader) faultAt(s *Signal, remedy, what string, args ...any) {
	r.faults.Add(r.place(statement{line: s.line, col: s.col}), remedy, what, args...)
}
