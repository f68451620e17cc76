package review

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"runproof/drill"
	"runproof/flowlog"
	"runproof/input"
	"runproof/measure"
)

// Course is how a run's share of its head changed without any event. The zero
// value is Steady, which no finding carries.
type Course int

// The courses.
const (
	Steady  Course = iota
	Fading         // less and less, all day long: a sensor that grows blind, or a hose that closes slowly
	Shifted        // another share from a moment on
)

var courseWords = [...]string{"steady", "fading", "shifted"}

// String is the word used in events.json.
func (c Course) String() string { return courseWords[c] }

// MarshalText is String.
func (c Course) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads a word of events.json.
func (c *Course) UnmarshalText(b []byte) error {
	for i, w := range courseWords {
		if w == string(b) {
			*c = Course(i)
			return nil
		}
	}
	near, _ := input.Nearest(string(b), courseWords[1:])
	return fmt.Errorf("%q is no course of a run's share; perhaps %s", b, near)
}

// Finding is a change of a run's share that is no event yet: it cost nothing
// today, and says what will.
type Finding struct {
	Run      drill.RunID `json:"run"`                             // the run whose share changed
	Course   Course      `json:"course"`                          // fading or shifted
	From     string      `json:"from"`                            // the first look, or when the share shifted
	To       string      `json:"to"`                              // the last look
	Change   float64     `json:"change"`                          // of the share, as a fraction of what it was: -0.12 is 12 % less
	Low      float64     `json:"change_low"`                      // 95 % interval of Change
	High     float64     `json:"change_high"`                     // 95 % interval of Change
	PerHour  *float64    `json:"change_per_hour,omitempty"`       // of a fading one: part of the share an hour in work
	MattersH *Span       `json:"matters_in_work_hours,omitempty"` // until mattersLost of the count is lost, if it goes on
	Matters  string      `json:"matters_on,omitempty"`            // the date of that at this log's pace of work; absent in logs without dates
	P        float64     `json:"p"`                               // chance of as much on any run of a sound drill
	Sentence string      `json:"sentence"`                        // the finding as one would say it
}

// Span is a value with its 95 % interval; High is absent where it has no end.
type Span struct {
	Value float64  `json:"value"`          // the estimate
	Low   float64  `json:"low"`            // lower end
	High  *float64 `json:"high,omitempty"` // upper end
}

// What a finding needs: a change beyond the usual drift of shares (1 to 3 %,
// design: common practice, no source) and beyond chance on any of the runs.
// mattersLost is where a run that lost as much of its count is taken for
// restricted (contract: 25 %).
const (
	leastFading  = 0.04
	leastShift   = 0.06
	findingP     = 0.01
	leastLooks   = 8
	mattersLost  = 0.25
	leastPaceDay = 2 * 3600 // seconds of log before its pace of work means anything
)

// findings judges every run's course.
func (s *session) findings(spells []*spell) []Finding {
	if s.k == nil || len(s.pic.cells) == 0 {
		return nil
	}
	sick := s.sickSpans(spells)
	var out []Finding
	for _, h := range s.in.heads {
		if len(h.runs) < 3 {
			continue // of a head of two nobody knows which of them changed
		}
		var of []Finding
		for _, i := range h.runs {
			looks := s.pic.looks(i, sick)
			if len(looks) < leastLooks || s.k.assumed[i] != "" {
				continue
			}
			if f, ok := s.judgeCourse(i, looks); ok {
				of = append(of, f)
			}
		}
		out = append(out, withoutMirrors(of)...)
	}
	return out
}

// withoutMirrors leaves out what is only the other side of a sibling's change:
// shares of a head add up to one.
func withoutMirrors(of []Finding) []Finding {
	return slices.DeleteFunc(slices.Clone(of), func(f Finding) bool {
		return slices.ContainsFunc(of, func(g Finding) bool { return f.Change*g.Change < 0 && math.Abs(g.Change) > 2*math.Abs(f.Change) })
	})
}

func (s *session) judgeCourse(i int, looks []look) (Finding, bool) {
	line, at, step := fitLine(looks), 0, stepFit{}
	if at, step = bestStep(looks); at > 0 && step.sse < 0.8*line.sse {
		return s.shifted(i, looks, at, step)
	}
	return s.fading(i, looks, line)
}

func (s *session) fading(i int, looks []look, l lineFit) (Finding, bool) {
	hours := (looks[len(looks)-1].workS - looks[0].workS) / 3600
	t := distuv.StudentsT{Sigma: 1, Nu: l.nu}
	p := min(1, t.CDF(l.slope/l.se)*float64(len(s.in.runs)))
	change := math.Expm1(l.slope * hours)
	if change > -leastFading || p > findingP || hours <= 0 {
		return Finding{}, false
	}
	reach := t.Quantile(0.975) * l.se
	f := s.finding(i, Fading, looks[0].fromNS, looks[len(looks)-1].toNS, change, math.Expm1((l.slope-reach)*hours), math.Expm1((l.slope+reach)*hours), p)
	per := measure.Round(math.Expm1(l.slope), 4)
	f.PerHour = &per
	s.whenItMatters(&f, l, reach, hours)
	f.Sentence = fmt.Sprintf("%s counts less and less against its siblings: %.0f %% over %.1f h in work (95 %% interval %.0f to %.0f %%), while no event explains it; a sensor that grows blind with dust, or a hose that closes slowly. %s Clean the sensor and look at the hose before then.",
		f.Run, -100*f.Change, hours, -100*f.High, -100*f.Low, f.untilItMatters())
	return f, true
}

// whenItMatters carries the line on to mattersLost.
func (s *session) whenItMatters(f *Finding, l lineFit, reach, hours float64) {
	end := math.Log(1 - mattersLost)
	left := func(slope float64) float64 { return max(0, end/slope-hours) }
	span := Span{Value: measure.Round(left(l.slope), 1), Low: measure.Round(left(l.slope-reach), 1)}
	if slow := l.slope + reach; slow < 0 {
		high := measure.Round(left(slow), 1)
		span.High = &high
	}
	f.MattersH = &span
	lastS := float64(s.lastNS-s.firstNS) / 1e9
	if s.in.clock != flowlog.UTC || lastS < leastPaceDay || s.tally.workS == 0 {
		return
	}
	aDay := s.tally.workS / max(1, math.Ceil(lastS/86400)) // of work, as in this log
	f.Matters = time.Unix(0, s.lastNS).UTC().Add(time.Duration(math.Min(3650, left(l.slope)*3600/aDay) * 24 * float64(time.Hour))).Format(time.DateOnly)
}

func (f *Finding) untilItMatters() string {
	m := f.MattersH
	if m.Value == 0 {
		return "It has lost enough to be taken for a restricted run by now."
	}
	say := fmt.Sprintf("If it goes on it will be taken for a restricted run after another %.0f h in work", math.Ceil(m.Value))
	if m.High != nil {
		say += fmt.Sprintf(" (%.0f to %.0f h)", math.Floor(m.Low), math.Ceil(*m.High))
	}
	if f.Matters != "" {
		say += ", at this log's pace on " + f.Matters
	}
	return say + "."
}

func (s *session) shifted(i int, looks []look, at int, st stepFit) (Finding, bool) {
	t := distuv.StudentsT{Sigma: 1, Nu: st.nu}
	p := min(1, 2*t.CDF(-math.Abs(st.size)/st.se)*float64(len(looks)*len(s.in.runs)))
	if math.Abs(math.Expm1(st.size)) < leastShift || p > findingP {
		return Finding{}, false
	}
	reach := t.Quantile(0.975) * st.se
	f := s.finding(i, Shifted, looks[at].fromNS, looks[len(looks)-1].toNS, math.Expm1(st.size), math.Expm1(st.size-reach), math.Expm1(st.size+reach), p)
	side := "more"
	if st.size < 0 {
		side = "less"
	}
	f.Sentence = fmt.Sprintf("%s counts %.0f %% %s against its siblings since about %s (95 %% interval %+.0f to %+.0f %%): too little for an event; a tube that moved, a hose that lies otherwise, dirt that came or went.",
		f.Run, 100*math.Abs(f.Change), side, f.From, 100*f.Low, 100*f.High)
	return f, true
}

func (s *session) finding(i int, c Course, fromNS, toNS int64, change, low, high, p float64) Finding {
	return Finding{
		Run: s.in.runs[i].ID, Course: c, From: s.in.clock.Format(fromNS), To: s.in.clock.Format(toNS),
		Change: measure.Round(change, 4), Low: measure.Round(low, 4), High: measure.Round(high, 4), P: measure.Round(p, 6),
	}
}
